#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/sound/report.h"

namespace crankwise {
namespace {

using Json = nlohmann::json;
using sound::Answer;
using sound::Value;

Json json(const Value& v, double scale = 1) { return {{"value", scale * v.value}, {"sigma", scale * v.sigma}}; }
Json why(sound::Why w) { return {{"cannot_tell", sound::in_words(w)}}; }
template <typename T, typename Make>
Json json(const Answer<T>& a, Make make) {
  return a ? make(*a) : why(a.why_not());
}
Json value(const Answer<Value>& a) {
  return json(a, [](const Value& v) { return json(v); });
}

const char* name(sound::Top top) {
  switch (top) {
    case sound::Top::hard_cut:
      return "hard-cut";
    case sound::Top::flattening:
      return "flattening";
    case sound::Top::breaking_up:
      return "breaking-up";
    case sound::Top::surging:
      return "surging";
    case sound::Top::falls_away:
      return "falls-away";
  }
  return "";
}
const char* name(sound::Stretch::Kind kind) {
  switch (kind) {
    case sound::Stretch::Kind::engine:
      return "engine";
    case sound::Stretch::Kind::silence:
      return "silence";
    case sound::Stretch::Kind::no_engine:
      return "no-engine";
  }
  return "";
}

Json swing(const sound::Swing& s) {
  return {{"period_s", json(Value{s.period_s, s.period_sigma_s})}, {"depth", json(Value{s.depth, s.depth_sigma})}};
}
Json weak(const sound::WeakShare& w) {
  return {{"share", w.seen.share},
          {"low", w.seen.low},
          {"high", w.seen.high},
          {"firings", w.seen.n},
          {"more_than_scatter", w.more_than_scatter()}};
}
Json alternation(const sound::Alternation& a) {
  return {{"half_db", a.half_db},
          {"floor_db", a.floor_db},
          {"sigma_db", a.sigma_db},
          {"regular", a.regular},
          {"weaker", a.weaker}};
}

Json idle(const sound::Idle& i) {
  Json j{{"rpm", json(i.rpm)}, {"wander", value(i.wander)}, {"seconds", i.seconds}};
  if (i.hunting) j["hunting"] = swing(*i.hunting);
  return j;
}

Json blip(const sound::Blip& b) {
  return {{"start_s", b.start_s},
          {"peak_s", b.peak_s},
          {"end_s", b.end_s},
          {"from_rpm", b.from_rpm},
          {"peak_rpm", json(b.peak_rpm)},
          {"rise_s", json(b.rise_s)},
          {"fastest_rpm_per_s", json(b.fastest_rpm_s)},
          {"fall_s", value(b.fall_s)},
          {"time_constant_s", value(b.time_constant_s)},
          {"settling", json(b.settling, [](const sound::Settling& s) {
             return Json{{"hang_s", json(s.hang_s)}, {"dip", json(s.dip)}, {"hanging", s.hanging}};
           })}};
}

Json ceiling(const sound::Ceiling& c) {
  Json j{{"rpm", json(c.rpm)},
         {"reached_s", c.reached_s},
         {"held_s", c.held_s},
         {"shape", json(c.shape, [](sound::Top t) { return Json(name(t)); })},
         {"weak", json(c.weak, weak)},
         {"weak_below", json(c.weak_below, weak)},
         {"alternation", json(c.alternation, alternation)},
         {"sink", json(c.sink)}};
  if (c.surge) j["surge"] = swing(*c.surge);
  return j;
}

Json pull(const sound::Pull& p) {
  Json points = Json::array();
  for (const sound::PowerPoint& x : p.points) {
    points.push_back({{"rpm", x.rpm},
                      {"speed_m_s", x.speed_m_s},
                      {"acceleration_m_s2", json(x.acceleration_m_s2)},
                      {"road_kw", json(x.road_w, 1e-3)}});
  }
  return {{"from_s", p.from_s},
          {"to_s", p.to_s},
          {"points", std::move(points)},
          {"common_share", p.common_share},
          {"peak_kw", json(p.peak_w, 1e-3)},
          {"peak_rpm", p.peak_rpm},
          {"flattens_rpm", json(p.flattens_rpm, [](double rpm) { return Json(rpm); })}};
}

template <typename Bands, typename Make>
Json bands(const Bands& list, Make make) {
  Json j = Json::array();
  for (const auto& b : list) j.push_back({{"from_rpm", b.from_rpm}, {"to_rpm", b.to_rpm}, {"is", make(b)}});
  return j;
}

Json speeds(const Listened& l, double step_s) {
  Json j = Json::array();
  const auto step = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(step_s / sound::kHopS)));
  for (std::size_t i = 0; i < l.track.frames.size(); i += step) {
    const sound::Frame& f = l.track.frames[i];
    const auto rounded = [](float x) { return std::round(10 * static_cast<double>(x)) / 10; };
    j.push_back({{"s", std::round(1e3 * l.track.seconds(i)) / 1e3},
                 {"rpm", f.rpm > 0 ? Json(rounded(f.rpm)) : Json()},
                 {"sigma", f.rpm > 0 ? Json(rounded(f.sigma_rpm)) : Json()},
                 {"sure", l.track.sure(i)}});
  }
  return j;
}

}  // namespace

Json as_json(const Listened& l, double step_s) {
  const sound::Heard& h = l.heard;
  Json j{
      {"seconds", l.take.seconds},
      {"container", l.take.container},
      {"codec", l.take.codec},
      {"rate_hz", l.take.source_rate_hz},
      {"channels", l.take.channels},
      {"channel_taken", l.take.channel_taken},
      {"clipped_share", l.take.clipped_share},
      {"slowed", l.take.slowed},
      {"notes", l.take.notes},
      {"of", text(l.of)},
      {"cycle", l.engine.cycle == Cycle::two_stroke ? "two-stroke" : "four-stroke"},
      {"engine_share", h.share.engine},
      {"sure_share", h.share.sure},
      {"octave", {{"settled", h.octave == sound::Octave::settled}, {"or_times", l.track.other}}},
      {"stretches", Json::array()},
      {"fixed_tones_hz", Json::array()},
      {"idle", json(h.idle, idle)},
      {"blips", json(h.blips,
                     [](const std::vector<sound::Blip>& all) {
                       Json list = Json::array();
                       for (const sound::Blip& b : all) list.push_back(blip(b));
                       return list;
                     })},
      {"ceiling", json(h.ceiling, ceiling)},
      {"weak_firings", bands(h.weak, [](const sound::WeakBand& b) { return json(b.weak, weak); })},
      {"alternation", bands(h.alternations, [](const sound::AlternationBand& b) { return json(b.is, alternation); })},
      {"speed", speeds(l, step_s)}};
  for (const sound::Stretch& s : h.stretches)
    j["stretches"].push_back({{"kind", name(s.kind)}, {"from_s", s.from_s}, {"to_s", s.to_s}});
  for (const sound::FixedLine& f : h.lines) j["fixed_tones_hz"].push_back(f.hz);
  if (h.pass_by) {
    j["pass_by"] = {
        {"speed_m_s", json(h.pass_by->speed_m_s)}, {"rpm", json(h.pass_by->rpm)}, {"closest_s", h.pass_by->closest_s}};
  }
  j["second_engine"] = h.second && h.second->suspected;
  if (l.pull) j["pull"] = json(*l.pull, pull);
  return j;
}

Json as_json(const std::vector<sound::Change>& changes) {
  Json j = Json::array();
  for (const sound::Change& c : changes) {
    j.push_back({{"words", sound::in_words(c)},
                 {"before", json(c.before)},
                 {"after", json(c.after)},
                 {"difference", c.difference()},
                 {"sigma", c.sigma()},
                 {"real", c.real()}});
  }
  return j;
}

}  // namespace crankwise
