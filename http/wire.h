// What the page is told, as ui/src/wire.ts has it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/due.h"
#include "app/hearing.h"
#include "app/sums/sum.h"

namespace crankwise::wire {

Json named(const std::string& id, const std::string& name);
Json caution(const Caution&);
Json cautions(const Knowledge&, const std::vector<std::string>& ids);
/// A number or null.
Json known(double);
std::string kind_of(const Knowledge&, const Bike&);
/// The name of a part, also of one that only wears and never comes off.
std::string part_name(const Knowledge&, const std::string& id);

/// Something that is told with a value or chosen in words. `unit` "": in words.
Json condition(const Input&);
/// A reading as it is asked for; `model` fits it to a bike.
Json reading_form(const Reading&, const BikeModel* model, const Conditions& usual);

Json job_line(const Knowledge&, const Shop&, const Job&);
Json shop(const Shop&);
Json words(const Knowledge&);
Json settings(const ShopSettings&);
Json bike(const Shop&, const std::string& id);
Json heard(const Knowledge&, const std::vector<Heard>&);

/// All that the view of a job is made from, taken out of the shop so that it can be worked on outside of it.
struct JobCase {
  std::int64_t seq = 0;
  JobState state;
  Bike bike;  // as it is now
  LastAct last;
};
JobCase job_case(const Shop&, int job);
Json job(const Knowledge&, const JobCase&);
Json step(const Diagnosis&, const ShopSettings&, int step);
Json why(const Diagnosis&, int fault);

Json sum_form(const Knowledge&, const Sum&);
Json sum_answer(const SumAnswer&);

}  // namespace crankwise::wire
