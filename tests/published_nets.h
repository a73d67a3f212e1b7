// Networks with published tables, for the judges and for the engine. States: 0 no, 1 yes.
#pragma once

#include "tests/oracle.h"

namespace crankwise::nets {

using oracle::Network;

/// Lauritzen and Spiegelhalter 1988 ("Asia"). Tables seen in several documentation pages.
struct Asia {
  Network net;
  int a = net.add_yes_no({}, {0.01});                    // visit to Asia
  int s = net.add_yes_no({}, {0.5});                     // smoker
  int t = net.add_yes_no({a}, {0.01, 0.05});             // tuberculosis
  int l = net.add_yes_no({s}, {0.01, 0.10});             // lung cancer
  int b = net.add_yes_no({s}, {0.30, 0.60});             // bronchitis
  int e = net.add_yes_no({t, l}, {0, 1, 1, 1});          // either of t and l
  int x = net.add_yes_no({e}, {0.05, 0.98});             // X-ray
  int d = net.add_yes_no({e, b}, {0.1, 0.8, 0.7, 0.9});  // dyspnoea
};

/// Pearl's burglary alarm, tables from memory (they stand in many textbooks).
struct Burglary {
  Network net;
  int b = net.add_yes_no({}, {0.001});
  int e = net.add_yes_no({}, {0.002});
  int a = net.add_yes_no({b, e}, {0.001, 0.29, 0.94, 0.95});
  int j = net.add_yes_no({a}, {0.05, 0.90});
  int m = net.add_yes_no({a}, {0.01, 0.70});
};

/// The wet grass of the textbooks, tables from memory.
struct WetGrass {
  Network net;
  int c = net.add_yes_no({}, {0.5});
  int s = net.add_yes_no({c}, {0.5, 0.1});  // sprinkler
  int r = net.add_yes_no({c}, {0.2, 0.8});  // rain
  int w = net.add_yes_no({s, r}, {0, 0.9, 0.9, 0.99});
};

/// Eight nodes of Huang and Darwiche's procedural guide (Int. J. Approximate Reasoning 15). Tables from memory; they
/// give the priors printed there.
struct EightNodes {
  Network net;
  int a = net.add_yes_no({}, {0.5});
  int b = net.add_yes_no({a}, {0.4, 0.5});
  int c = net.add_yes_no({a}, {0.2, 0.7});
  int d = net.add_yes_no({b}, {0.5, 0.9});
  int e = net.add_yes_no({c}, {0.6, 0.3});
  int f = net.add_yes_no({d, e}, {0.99, 0.01, 0.01, 0.01});
  int g = net.add_yes_no({c}, {0.1, 0.8});
  int h = net.add_yes_no({e, g}, {0.95, 0.95, 0.95, 0.05});
};

/// Three faults .05 .02 .10 and three noisy-OR findings with leak; all numbers derived for this project.
inline Model three_faults() {
  Model m;
  for (double p : {0.05, 0.02, 0.10}) m.faults.push_back({p / (1 - p), 0.98});
  const AnswerRates perfect{1, 0, 0, 0};
  m.findings = {{0.01, {{0, 0.8}, {1, 0.3}}, perfect, -1},
                {0.02, {{1, 0.9}, {2, 0.4}}, perfect, -1},
                {0.05, {{0, 0.6}, {2, 0.5}}, perfect, -1}};
  m.nothing_wrong = 1;  // no complaint to explain
  return m;
}

/// A noisy-OR model with perfect answers as full tables: faults first, then findings, linked to every fault.
inline Network as_network(const Model& m) {
  Network net;
  std::vector<int> faults;
  for (const FaultModel& f : m.faults) faults.push_back(net.add_yes_no({}, {f.odds / (1 + f.odds)}));
  for (const FindingModel& f : m.findings) {
    std::vector<double> yes;
    for (unsigned set = 0; set < 1u << faults.size(); ++set) {
      double absent = 1 - f.background;
      for (const Link& l : f.links) {
        if (set >> (faults.size() - 1 - static_cast<size_t>(l.fault)) & 1u) absent *= 1 - l.strength;
      }
      yes.push_back(1 - absent);
    }
    net.add_yes_no(faults, yes);
  }
  return net;
}

struct NoisyOrRow {
  std::vector<int> present, absent;
  double evidence;
  std::vector<double> posterior;
};

/// Values for three_faults(), derived for this project by brute force.
inline std::vector<NoisyOrRow> three_fault_rows() {
  return {{{0}, {}, 0.0553024000, {0.72617825, 0.12105080, 0.10000000}},
          {{0, 1}, {}, 0.0089421844, {0.34743201, 0.67820015, 0.29441649}},
          {{0, 1}, {2}, 0.0059581970, {0.14392868, 0.84595663, 0.12856265}},
          {{0, 1, 2}, {}, 0.0029839875, {0.75377182, 0.34323691, 0.62558068}},
          {{}, {0, 1, 2}, 0.8025318043, {0.00419287, 0.00142653, 0.03225806}}};
}

/// Evidence and posteriors of Asia; a negative number stands for one not printed.
struct AsiaRow {
  int a, s, x, d;  // -1 not known, else the state
  double evidence, t, l, b, smoker, e, xray, dyspnoea;
};

/// Derived by brute force from the published tables.
inline std::vector<AsiaRow> asia_rows() {
  return {{-1, -1, -1, -1, 1, 0.0104, 0.055, 0.45, 0.5, 0.064828, 0.11029004, 0.4359706},
          {-1, -1, -1, 1, 0.4359706, 0.018845, 0.102759, 0.833967, 0.633997, 0.120536, 0.162098, -1},
          {1, -1, -1, 1, 0.00450138, 0.087751, 0.099525, 0.811402, 0.625920, 0.182300, 0.219539, -1},
          {-1, -1, 1, -1, 0.11029004, 0.092411, 0.488711, 0.506326, 0.687754, 0.576040, -1, 0.640766},
          {1, -1, 1, 1, 0.00098823, 0.391712, 0.444271, 0.628822, 0.702025, 0.813769, -1, -1},
          {1, 0, -1, 1, 0.00168388, 0.112835, 0.022567, 0.717942, -1, 0.134274, 0.174874, -1}};
}

/// What is known in the row.
inline Network::Evidence evidence_of(const Asia& asia, const AsiaRow& row) {
  Network::Evidence ev;
  for (auto [variable, state] : {std::pair(asia.a, row.a), {asia.s, row.s}, {asia.x, row.x}, {asia.d, row.d}}) {
    if (state >= 0) ev.emplace_back(variable, state);
  }
  return ev;
}

/// The posteriors that the row gives, by variable.
inline std::vector<std::pair<int, double>> posteriors_of(const Asia& asia, const AsiaRow& row) {
  std::vector<std::pair<int, double>> given{{asia.t, row.t},       {asia.l, row.l}, {asia.b, row.b},
                                            {asia.s, row.smoker},  {asia.e, row.e}, {asia.x, row.xray},
                                            {asia.d, row.dyspnoea}};
  std::erase_if(given, [](const auto& posterior) { return posterior.second < 0; });
  return given;
}

}  // namespace crankwise::nets
