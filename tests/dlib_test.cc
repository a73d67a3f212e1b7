// A third opinion: the join tree of dlib (package libdlib-dev), where it is installed.
#include <gtest/gtest.h>

#if __has_include(<dlib/bayes_utils.h>)

#include <dlib/bayes_utils.h>
#include <dlib/directed_graph.h>
#include <dlib/graph.h>
#include <dlib/graph_utils.h>

#include "core/belief/belief.h"
#include "tests/published_nets.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

using oracle::Network;

/// P(yes) of every variable given the evidence. The graph must hang together, says the library.
std::vector<double> join_tree_posteriors(const Network& net, const Network::Evidence& evidence) {
  using Graph = dlib::directed_graph<dlib::bayes_node>::kernel_1a_c;
  using Members = dlib::set<unsigned long>::compare_1b_c;
  using JoinTree = dlib::graph<Members, Members>::kernel_1a_c;
  namespace node = dlib::bayes_node_utils;

  Graph graph;
  const auto& nodes = net.nodes();
  graph.set_number_of_nodes(nodes.size());
  for (unsigned long v = 0; v < nodes.size(); ++v) {
    for (int p : nodes[v].parents) graph.add_edge(static_cast<unsigned long>(p), v);
    node::set_node_num_values(graph, v, static_cast<unsigned long>(nodes[v].states));
  }
  for (unsigned long v = 0; v < nodes.size(); ++v) {
    const size_t states = static_cast<size_t>(nodes[v].states);
    for (size_t row = 0; row < nodes[v].table.size() / states; ++row) {
      dlib::assignment of_parents;
      size_t rest = row;
      for (size_t k = nodes[v].parents.size(); k-- > 0;) {
        const size_t parent = static_cast<size_t>(nodes[v].parents[k]);
        const size_t choices = static_cast<size_t>(nodes[parent].states);
        of_parents.add(parent, rest % choices);
        rest /= choices;
      }
      for (size_t s = 0; s < states; ++s) {
        node::set_node_probability(graph, v, s, of_parents, nodes[v].table[row * states + s]);
      }
    }
  }
  for (auto [variable, state] : evidence) {
    node::set_node_value(graph, static_cast<unsigned long>(variable), static_cast<unsigned long>(state));
    node::set_node_as_evidence(graph, static_cast<unsigned long>(variable));
  }
  JoinTree tree;
  dlib::create_moral_graph(graph, tree);
  dlib::create_join_tree(tree, tree);
  dlib::bayesian_network_join_tree solution(graph, tree);
  std::vector<double> yes;
  for (unsigned long v = 0; v < nodes.size(); ++v) yes.push_back(solution.probability(v)(1));
  return yes;
}

TEST(Dlib, AsiaAgreesWithTheEnumeratingJudge) {
  const nets::Asia asia;
  for (const nets::AsiaRow& row : nets::asia_rows()) {
    const Network::Evidence ev = nets::evidence_of(asia, row);
    const std::vector<double> tree = join_tree_posteriors(asia.net, ev);
    for (int v = 0; v < 8; ++v) EXPECT_NEAR(tree[static_cast<size_t>(v)], asia.net.posterior(v, 1, ev), 1e-9) << v;
    for (const auto& [variable, value] : nets::posteriors_of(asia, row)) {
      EXPECT_NEAR(tree[static_cast<size_t>(variable)], value, 1e-6) << variable;
    }
  }
}

TEST(Dlib, EightNodesAgreeWithTheEnumeratingJudge) {
  const nets::EightNodes n;
  for (const Network::Evidence& ev : {Network::Evidence{}, {{n.f, 1}}, {{n.h, 0}, {n.a, 1}}}) {
    const std::vector<double> tree = join_tree_posteriors(n.net, ev);
    for (int v = 0; v < 8; ++v) EXPECT_NEAR(tree[static_cast<size_t>(v)], n.net.posterior(v, 1, ev), 1e-9) << v;
  }
}

/// Engine and join tree on a model with perfect answers, for findings seen and findings seen absent.
void expect_agreement(const Model& m, const std::vector<int>& present, const std::vector<int>& absent, double within) {
  const int n = static_cast<int>(m.faults.size());
  std::vector<Happening> history;
  Network::Evidence ev;
  for (int f : present) history.emplace_back(Answered{f, Answer::yes}), ev.emplace_back(n + f, 1);
  for (int f : absent) history.emplace_back(Answered{f, Answer::no}), ev.emplace_back(n + f, 0);
  const Belief b = believe(m, history);
  const std::vector<double> tree = join_tree_posteriors(nets::as_network(m), ev), now = b.still_there();
  for (size_t i = 0; i < now.size(); ++i) EXPECT_NEAR(now[i], tree[i], b.left_out() + within) << "fault " << i;
  for (size_t f = 0; f < m.findings.size(); ++f) {
    const int finding = static_cast<int>(f);
    if (std::count(present.begin(), present.end(), finding) + std::count(absent.begin(), absent.end(), finding))
      continue;
    EXPECT_NEAR(b.chance_so(m.findings[f]), tree[now.size() + f], b.left_out() + within) << "finding " << f;
  }
}

TEST(Dlib, ThreeFaultsAgreeWithTheEngine) {
  const Model m = nets::three_faults();
  for (const nets::NoisyOrRow& row : nets::three_fault_rows()) {
    Network::Evidence ev;
    for (int f : row.present) ev.emplace_back(3 + f, 1);
    for (int f : row.absent) ev.emplace_back(3 + f, 0);
    const std::vector<double> tree = join_tree_posteriors(nets::as_network(m), ev);
    for (size_t i = 0; i < 3; ++i) EXPECT_NEAR(tree[i], row.posterior[i], 1e-6);
    expect_agreement(m, row.present, row.absent, 2e-6);
  }
}

TEST(Dlib, RandomNoisyOrAgreesWithTheEngine) {
  CaseKind kind;
  kind.least_faults = kind.most_faults = 6;
  kind.perfect = true;
  kind.greatest_odds = 0.1;
  kind.groups = kind.exclusive = false;
  for (unsigned seed = 1; seed <= 10; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Dice dice(seed);
    Model m = random_model(dice, kind);
    m.nothing_wrong = 1;
    for (auto& f : m.findings) f.background = std::max(f.background, 0.001);  // nothing is impossible
    m.findings.resize(3);
    expect_agreement(m, {}, {}, 2e-6);
    expect_agreement(m, {0}, {1}, 2e-6);
    expect_agreement(m, {0, 1}, {2}, 2e-6);
  }
}

}  // namespace
}  // namespace crankwise

#endif
