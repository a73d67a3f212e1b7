// Bikes: entering one, and what is told of it.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "app/refuse.h"
#include "app/telling.h"
#include "http/body.h"
#include "http/routes.h"
#include "http/wire.h"

namespace crankwise {
namespace {

HttpAnswer bike(Office& office, const HttpRequest&, const PathParts& parts) {
  return office.workshop.with([&](Shop& s) { return json_answer(wire::bike(s, parts.at("bike"))); });
}

HttpAnswer add(Office& office, const HttpRequest& r, const PathParts&) {
  Body body(r.body);
  BikeTold told{body.text("name"), body.text("class"), body.texts("with"), body.texts("without")};
  told.displacement_cc = body.number_or_nothing("displacement_cc");
  told.hours = body.number_or_nothing("hours");
  body.done();
  const Bike b = bike_told(office.workshop.knowledge(), told);
  return written(office, r, [&](Shop& s) {
    s.add_bike(b);
    return "";
  });
}

HttpAnswer hours(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const double h = body.number("hours");
  const std::string as = body.text("as");
  const std::map<std::string, HoursTold> kAs{{"meter", HoursTold::meter},
                                             {"estimate", HoursTold::estimate},
                                             {"new-meter", HoursTold::new_meter},
                                             {"correction", HoursTold::correction}};
  if (kAs.count(as) == 0)
    body.wrong("as", fmt::format("\"{}\" is not known", as), "meter, estimate, new-meter or correction");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.set_hours(parts.at("bike"), h, kAs.at(as));
    return "";
  });
}

HttpAnswer ridden(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const double h = body.number("hours");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.ridden(parts.at("bike"), h);
    return "";
  });
}

HttpAnswer renewed(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const std::string what = body.text("what");
  const RenewedWhen when{body.number_or_nothing("hours"), body.text("day"), body.flag("again")};
  body.done();
  return written(office, r, [&](Shop& s) {
    return fmt::format("renewed: {}", fmt::join(s.renewed(parts.at("bike"), what, when).parts, ", "));
  });
}

HttpAnswer figure(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const FigureTold told{body.text("reading"), body.text("told"), body.text("to"), body.flag("baseline")};
  const bool sure = body.flag("sure");
  body.done();
  const Bike b = office.workshop.with([&](Shop& s) { return s.bike(parts.at("bike")); });
  const FigureRead read = figure_told(office.workshop.knowledge(), b, told);
  if (read.doubt && !sure) return doubted(*read.doubt);
  return written(office, r, [&](Shop& s) {
    s.set_figure(b.id, told.reading, read.figure);
    return "";
  });
}

HttpAnswer fact(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const std::string name = body.text("fact"), told = body.text("told");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.set_fact(parts.at("bike"), name, told);
    return "";
  });
}

HttpAnswer use(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  const bool hard = body.flag("hard");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.set_hard(parts.at("bike"), hard);
    return "";
  });
}

HttpAnswer undo(Office& office, const HttpRequest& r, const PathParts& parts) {
  Body body(r.body);
  body.done();
  return written(office, r, [&](Shop& s) { return "taken back: " + s.undo_on_bike(parts.at("bike")); });
}

}  // namespace

std::vector<Route> bike_routes() {
  return {
      {"POST", "/api/bikes", true, add},
      {"GET", "/api/bikes/{bike}", false, bike},
      {"POST", "/api/bikes/{bike}/hours", true, hours},
      {"POST", "/api/bikes/{bike}/ridden", true, ridden},
      {"POST", "/api/bikes/{bike}/renewed", true, renewed},
      {"POST", "/api/bikes/{bike}/figure", true, figure},
      {"POST", "/api/bikes/{bike}/fact", true, fact},
      {"POST", "/api/bikes/{bike}/use", true, use},
      {"POST", "/api/bikes/{bike}/undo", true, undo},
  };
}

}  // namespace crankwise
