// Units against NIST Special Publication 811, appendix B (values from memory of its tables, to the digits given there).
#include "edge/units.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

struct Conversion {
  double value;
  const char* from;
  const char* to;
  double want;
};

TEST(Units, Conversions) {
  const std::vector<Conversion> rows{
      {1, "psi", "Pa", 6894.757},           // SP 811: 6.894 757 E+03
      {1, "psi", "kPa", 6.894757},          //
      {1, "bar", "Pa", 1e5},                // exact
      {1, "mbar", "Pa", 100},               // exact
      {1, "bar", "psi", 14.50377},          // from the two above
      {1, "kgf/cm2", "Pa", 98066.5},        // exact
      {1, "kgf/cm2", "psi", 14.22334},      // from the two above
      {1, "inHg", "Pa", 3386.389},          // inch of mercury, conventional: 3.386 389 E+03
      {1, "psi", "inHg", 2.036021},         // from the two above
      {1, "in", "mm", 25.4},                // exact
      {1, "thou", "mm", 0.0254},            // mil, exact
      {40, "thou", "mm", 1.016},            //
      {1, "ft", "m", 0.3048},               // exact
      {1, "ft", "in", 12},                  //
      {1, "cm", "mm", 10},                  //
      {1, "oz", "mL", 29.57353},            // US fluid ounce: 2.957 353 E-05 m3
      {12.8, "oz", "mL", 378.5412},         // not 100 mL, as is read now and then
      {1, "L", "mL", 1000},                 // exact
      {1, "kg", "g", 1000},                 // exact
      {0, "degC", "degF", 32},              // exact
      {100, "degC", "degF", 212},           // exact
      {-40, "degC", "degF", -40},           // exact
      {98.6, "degF", "degC", 37},           //
      {1, "rpm", "rpm", 1},                 //
      {1, "turns", "deg", 360},             // exact
      {1, "h", "min", 60},                  // exact
      {1, "min", "s", 60},                  // exact
      {1, "kohm", "ohm", 1000},             // SI prefixes, exact
      {1, "Mohm", "kohm", 1000},            //
      {1, "Mohm", "mohm", 1e9},             //
      {1, "V", "mV", 1000},                 //
      {1, "psi/min", "kPa/min", 6.894757},  //
      {1, "bar/min", "kPa/min", 100},       //
      {1, "L/min", "mL/min", 1000},         //
      {60, "mL/min", "mL/10s", 10},         //
  };
  for (const Conversion& r : rows) {
    const auto have = convert(r.value, r.from, r.to);
    ASSERT_TRUE(have) << r.from << " to " << r.to;
    EXPECT_NEAR(*have, r.want, std::max(std::abs(r.want), 1.0) * 3e-7) << r.value << " " << r.from << " in " << r.to;
  }
}

TEST(Units, SiValues) {
  for (auto [name, si] :
       {std::pair("rpm", 1.047198e-1), {"deg", 1.745329e-2}, {"oz", 2.957353e-5}, {"kgf/cm2", 9.80665e4}}) {
    EXPECT_NEAR(find_unit(name)->si / si, 1, 5e-7) << name;
  }
}

TEST(Units, ThereAndBack) {
  for (const std::string& a : unit_names()) {
    int of_this_kind = 0;
    for (const std::string& b : unit_names()) {
      const Unit from = *find_unit(a), to = *find_unit(b);
      if (from.quantity != to.quantity) continue;
      ++of_this_kind;
      for (double x : {0.0, 0.37, 1.0, 138.0, 12345.6}) {
        const double back = *convert(*convert(x, from, to), to, from);
        EXPECT_NEAR(back, x, 1e-9 * std::max(1.0, std::abs(x))) << a << " in " << b;
      }
    }
    EXPECT_GE(of_this_kind, 1);
  }
}

TEST(Units, KindsNeverMix) {
  for (const std::string& a : unit_names()) {
    for (const std::string& b : unit_names()) {
      const Unit from = *find_unit(a), to = *find_unit(b);
      EXPECT_EQ(convert(2, from, to).has_value(), from.quantity == to.quantity) << a << " in " << b;
      EXPECT_EQ(convert(2, a, b).has_value(), from.quantity == to.quantity) << a << " in " << b;
    }
  }
  // Near misses: a pressure and its rate, volume and flow, degrees of angle and of temperature, ratio and percent.
  for (auto [a, b] : {std::pair("psi", "psi/min"),
                      {"mL", "mL/min"},
                      {"deg", "degC"},
                      {":1", "%"},
                      {"V", "ohm"},
                      {"g", "oz"},
                      {"m", "min"},
                      {"number", "%"}}) {
    EXPECT_FALSE(convert(1, a, b)) << a << " in " << b;
  }
  EXPECT_FALSE(convert(1, "psi", "furlong"));
  EXPECT_FALSE(convert(1, "", "psi"));
}

TEST(Units, NamesAreTheirOwnSpelling) {
  const auto names = unit_names();
  EXPECT_GT(names.size(), 30u);
  for (const std::string& n : names) {
    ASSERT_TRUE(find_unit(n)) << n;
    EXPECT_EQ(find_unit(n)->name, n);
    EXPECT_EQ(std::count(names.begin(), names.end(), n), 1) << n;
  }
}

TEST(Units, Spellings) {
  for (auto [written, meant] : {std::pair("kOhm", "kohm"),
                                {"k ohm", "kohm"},
                                {"KOHM", "kohm"},
                                {"kohms", "kohm"},
                                {"kΩ", "kohm"},       // U+03A9
                                {"k\u2126", "kohm"},  // the ohm sign
                                {"ohms", "ohm"},
                                {"Ohm", "ohm"},
                                {"Ohms", "ohm"},
                                {"Ω", "ohm"},
                                {"mΩ", "mohm"},
                                {"MΩ", "Mohm"},
                                {"mohms", "mohm"},
                                {"Mohms", "Mohm"},
                                {"PSI", "psi"},
                                {"Psi", "psi"},
                                {"KPA", "kPa"},
                                {"Bar", "bar"},
                                {"kg/cm2", "kgf/cm2"},
                                {"kg/cm²", "kgf/cm2"},
                                {"kgf/cm²", "kgf/cm2"},
                                {"in Hg", "inHg"},
                                {"in-Hg", "inHg"},
                                {"°C", "degC"},
                                {"deg C", "degC"},
                                {"°F", "degF"},
                                {"°", "deg"},
                                {"volt", "V"},
                                {"volts", "V"},
                                {"Volts", "V"},
                                {"v", "V"},
                                {"mv", "mV"},
                                {"percent", "%"},
                                {"ml/min", "mL/min"},
                                {"ml/10 s", "mL/10s"},
                                {"l", "L"},
                                {"ml", "mL"},
                                {"RPM", "rpm"},
                                {"MM", "mm"}}) {
    const auto unit = find_unit(written);
    EXPECT_EQ(unit ? unit->name : "not known", meant) << written << " (" << std::string(written).size() << " bytes)";
  }
}

TEST(Units, WhatCouldBeTwoSizesIsRefused) {
  EXPECT_EQ(find_unit("mohm")->si, 1e-3);
  EXPECT_EQ(find_unit("Mohm")->si, 1e6);
  // Thousandths or millions? Better to ask.
  for (const char* written : {"MOHM", "mOhm", "MOhm", "MOHMS", "MV"}) EXPECT_FALSE(find_unit(written)) << written;
  for (const char* written : {"", " ", "k", "furlong", "psi psi", "Ωm", "bars/min", "%%"}) {
    EXPECT_FALSE(find_unit(written)) << written;
  }
}

TEST(Units, Measures) {
  for (auto [text, value, unit] : {std::tuple("138 psi", 138.0, "psi"),
                                   {"138psi", 138.0, "psi"},
                                   {"  138  psi ", 138.0, "psi"},
                                   {"9.6 bar", 9.6, "bar"},
                                   {".5 kohm", 0.5, "kohm"},
                                   {"-3 degC", -3.0, "degC"},
                                   {"1.5 turns", 1.5, "turns"},
                                   {"1e3 ohm", 1000.0, "ohm"},
                                   {"0 ohm", 0.0, "ohm"},
                                   {"12.5:1", 12.5, ":1"},
                                   {"45 %", 45.0, "%"},
                                   {"0.6 k ohm", 0.6, "kohm"},
                                   {"250 mL/10s", 250.0, "mL/10s"},
                                   {"40 thou", 40.0, "thou"},
                                   {"3 min", 3.0, "min"},
                                   {"3 m", 3.0, "m"},
                                   {"42 number", 42.0, "number"}}) {
    const auto m = parse_measure(text);
    ASSERT_TRUE(m) << text;
    EXPECT_EQ(m->value, value) << text;
    EXPECT_EQ(m->unit.name, unit) << text;
  }
  for (const char* text : {"", "psi", "138", "138 furlong", "open", "OL", "O.L", "inf ohm", "nan ohm", "1e999 ohm",
                           "12,5 mm", "1 2 mm", "--3 V", "five psi", "3 MOHM"}) {
    EXPECT_FALSE(parse_measure(text)) << text;
  }
}

}  // namespace
}  // namespace crankwise
