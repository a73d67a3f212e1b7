// Bikes and jobs of another shop taken over into this one, without doubles.
//
// An event is the same wherever it came from and however often it is brought: what is here already is passed over. A
// bike or job is the one whose first event is here. Both sides may have carried on the same job: all entries are kept,
// in the order of their time, and it is closed if either closed it (the later closing counts, and undo takes it back).
#pragma once

#include <string>
#include <vector>

#include "app/shop.h"
#include "app/shop_file.h"

namespace crankwise {

struct TakenOver {
  struct Item {
    std::string theirs, ours, words;  // bike: id and name; job: number and complaint
    bool is_new = false;
    int entries = 0;               // that are new here
    bool carried_on_here = false;  // entries here that the file does not have
  };
  std::vector<Item> bikes, jobs;   // with something new
  std::vector<std::string> notes;  // what the mechanic should know about how it was joined
  int added = 0, known = 0;        // events
  bool settings = false;           // taken over, because this shop had none
  std::vector<NewEvent> events;    // what is to be added to the log
};

/// What taking over would add to this shop. `new_id` is for a shop that has no id yet.
TakenOver plan_take_over(const Knowledge&, const ShopReplay& here, const ReadData&, const ShopFile&, const SameBikes&,
                         const std::string& new_id);

/// This shop, or these bikes with their jobs, as a file; without the settings if bikes are named; without the photos.
ShopFile shop_file_of(const ShopReplay&, const ReadData&, const std::vector<std::string>& bikes);

}  // namespace crankwise
