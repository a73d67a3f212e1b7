// Crank, bore, ports and combustion chamber as lengths, angles and volumes.
//
//   CrankTrain train{.bore_m = 0.054, .stroke_m = 0.0545, .rod_m = 0.105};
//   crank_at_drop_rad(train, 0.002);                   // 2 mm before top dead centre is 19.7 degrees
//   port_at_drop(train, 0.02698).duration_rad;        // exhaust 27 mm down: open for 196 degrees
//
// SI: m, m2, m3, rad, rad/s. Crank angles are counted from top dead centre, either way; no gudgeon pin offset.
// Slider-crank, r = stroke / 2, l = rod: drop = r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a). It and the ratios are
// plain geometry (Heywood, Internal Combustion Engine Fundamentals, section 2.2); other sources stand at each function.
// Preconditions: lengths, volumes and speeds above 0, rod longer than half the stroke.
#pragma once

#include <numbers>

#include "core/calc/flag.h"

namespace crankwise {

struct CrankTrain {
  double bore_m = 0;
  double stroke_m = 0;
  double rod_m = 0;  // between centres
};

/// pi bore^2 stroke / 4, of one cylinder.
double displacement_m3(double bore_m, double stroke_m);

/// How far the piston is below top dead centre.
double piston_drop_m(const CrankTrain&, double crank_rad);

/// The angle, 0 to pi, at which it is that far down; 0 <= drop <= stroke.
double crank_at_drop_rad(const CrankTrain&, double drop_m);

/// Of the piston at this angle, without sign.
double piston_speed_at_m_s(const CrankTrain&, double crank_rad, double crank_rad_s);

struct PistonSpeed {
  double mean_m_s = 0;
  double most_m_s = 0;
  double most_at_rad = 0;
};
PistonSpeed piston_speed(const CrankTrain&, double crank_rad_s);

struct CompressionRatios {
  double swept_m3 = 0;          // whole stroke
  double trapped_stroke_m = 0;  // from the closing to top dead centre
  double trapped_m3 = 0;        // swept after the closing
  double full = 0;              // (swept + clearance) / clearance
  double trapped = 0;           // (trapped + clearance) / clearance: what the gauge follows
  CalcFlags flags;              // trapped_ratio_high (Jennings 1973, as quoted on a page), where there are ports
};
/// `closes_rad` before top dead centre: exhaust port of a two-stroke (the angle after top dead centre at which it
/// opens), inlet valve or decompressor of a four-stroke; pi if nothing closes late. `clearance_m3` is the volume above
/// the piston at top dead centre. The head's own volume is not: a domed piston takes up part of it.
CompressionRatios compression_ratios(const CrankTrain&, double clearance_m3, double closes_rad = std::numbers::pi);

/// swept / (ratio - 1): full swept volume with the full ratio, trapped with trapped. Ratio above 1.
double clearance_from_ratio_m3(double swept_m3, double ratio);

struct TopEnd {
  CrankTrain train;
  double clearance_m3 = 0;
  double squish_m = 0;
  double exhaust_opens_rad = std::numbers::pi;  // after top dead centre; pi for a four-stroke
  double transfer_opens_rad = std::numbers::pi;
};
struct TopEndChange {
  double base_gasket_m = 0;  // thicker above 0; lifts the ports too
  double head_gasket_m = 0;  // thicker above 0
  double head_cut_m = 0;     // off the face of the head, over the whole bore
};
struct ChangedTopEnd {
  TopEnd after;
  CompressionRatios ratios;  // left empty where the piston meets the head
  CalcFlags flags;           // piston_meets_head, and in two-strokes squish_too_wide, squish_too_tight (Jennings 1973)
};
/// Clearance and squish change by area and thickness; ports open earlier by the thickness of what lies under the
/// cylinder.
ChangedTopEnd change_top_end(const TopEnd&, const TopEndChange&);

struct PortTiming {
  double opens_rad = 0;     // after top dead centre
  double duration_rad = 0;  // 2 (pi - opens)
  double drop_m = 0;        // top edge below the crown at top dead centre
  double height_m = 0;      // top edge above the crown at bottom dead centre
};
PortTiming port_at_drop(const CrankTrain&, double drop_m);        // 0 < drop < stroke
PortTiming port_opening_at(const CrankTrain&, double opens_rad);  // 0 < opens < pi
PortTiming port_of_duration(const CrankTrain&, double duration_rad);

struct TimeArea {
  double angle_area_m2_rad = 0;  // open area over the crank angle
  double time_area_m2_s = 0;     // over time
  double specific_s_m = 0;       // time-area over displacement; 1 s/m = 0.01 s/cm
};
/// Rectangular port (its widths added up), opened by the piston crown, from opening to closing.
TimeArea port_time_area(const CrankTrain&, double opens_rad, double width_m, double crank_rad_s);

/// Exhaust port from its opening until the transfers open (once a turn).
TimeArea blowdown_time_area(const CrankTrain&, double exhaust_opens_rad, double transfer_opens_rad, double width_m,
                            double crank_rad_s);

struct SquishBand {
  CrankTrain train;
  double bowl_diameter_m = 0;  // inner edge of the band; below the bore
  double bowl_m3 = 0;          // of the chamber inside it
  double gap_m = 0;            // squish clearance at top dead centre
};
/// Speed of the gas leaving the band: Sp (Db / 4z) ((B / Db)^2 - 1) Vb / (Ac z + Vb), z = gap + drop, Sp the piston's
/// speed (Heywood, chapter 8, ideal: no leak, no heat).
double squish_speed_m_s(const SquishBand&, double before_tdc_rad, double crank_rad_s);

struct SquishPeak {
  double speed_m_s = 0;
  double before_tdc_rad = 0;
  CalcFlags flags;  // squish_too_wide, squish_too_tight
};
SquishPeak squish_peak(const SquishBand&, double crank_rad_s);

}  // namespace crankwise
