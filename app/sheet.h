// The job sheet: what was wrong with a bike, what was done and how it is known to be right, for its owner.
//
//   JobSheet s = job_sheet(shop, 3);                     // also of a job that is still open
//   Paper p = paper_of(s, [&](auto& photo) { return shop.picture(photo); });
//   as_pdf(p).bytes                                      // edge/paper/paper.h has the forms
//
// Words of the trade are explained where they first come up (app/gloss.h). What the mechanic and the rider wrote stands
// as they wrote it; notes and entries that were taken back are not on the sheet.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "app/shop.h"
#include "edge/paper/paper.h"

namespace crankwise {

struct SheetReading {
  std::string name, value;
  std::string right;    // what is right and says who, in words; "" if nothing is known
  std::string verdict;  // "in order", "too low" ...
};
struct SheetCheck {
  std::string step;              // its id; "" for something seen that belongs to no step
  std::string what;              // in words
  std::vector<std::string> saw;  // "filter dirty: no"
  std::vector<SheetReading> readings;
};
/// A fault and how likely it was: by what the rider said, when the checks were done, and now. Below 0: not known.
struct SheetCause {
  std::string fault, name;
  double when_told = -1, when_checked = -1, now = -1;
};
struct SheetRepair {
  std::string step, what;
  std::vector<std::string> saw;
  std::string outcome;     // of the run after it, in words
  bool went_back = false;  // the part came out again
};
struct SheetTime {
  std::string what;
  double minutes = 0;
  bool usual = false;  // not told: what it usually takes
  int times = 1;
};
struct SheetPart {
  std::string what;
  double money = 0;
  bool usual = false;
  int times = 1;
};
struct SheetDue {
  std::string what, when;  // in words
};
struct SheetCaution {
  std::string title, text;
};
struct SheetPhoto {
  Pictured photo;
  std::string at;       // UTC
  std::string of = {};  // the entries that it shows, in words
};

struct JobSheet {
  int job = 0;
  std::string bike, kind;        // its name; class and displacement in words
  double hours = -1;             // of the engine when the job was last written to; -1: not known
  std::string taken_in, closed;  // days; closed "" while it is open
  JobEnd end = JobEnd::open;
  std::string complaint;                // as the rider said it
  std::vector<std::string> so, not_so;  // what he was asked about it, and what was so before
  std::vector<SheetCheck> checked;
  std::vector<SheetCause> found;  // the causes told at closing; of an open job what leads
  std::string words;              // to the owner
  std::vector<SheetRepair> repaired;
  int clean_runs = 0;  // since the last repair
  double doubt = 1;    // chance that a fault is still there
  std::vector<SheetTime> time;
  std::vector<SheetPart> parts;
  std::string currency;
  std::string due_as_of;  // "2026-09-26, engine at 38 h": when the sheet was made
  std::vector<SheetDue> due;
  std::vector<SheetCaution> cautions;
  std::vector<SheetPhoto> photos;
};

JobSheet job_sheet(const Shop&, int job);

/// What is due on the bike by now, most urgent first; what this job renewed with it; last what may be overdue
/// unrecorded.
std::vector<SheetDue> due_after(const Shop&, const Job&);

/// `picture` gives the bytes of a photo.
Paper paper_of(const JobSheet&, const std::function<std::string(const Pictured&)>& picture);

}  // namespace crankwise
