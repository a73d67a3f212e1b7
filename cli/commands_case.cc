// The command that judges a case file.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iterator>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/case_file.h"
#include "cli/cli.h"

namespace crankwise::set_up {

void judge(CLI::App& app, Cli& cli) {
  auto file = std::make_shared<std::string>();
  app.add_option("file", *file, "the case file (docs/case-format.md); - for standard input")
      ->required()
      ->type_name("FILE");
  app.callback([file, &cli] {
    std::string content;
    if (*file == "-") {
      content.assign(std::istreambuf_iterator<char>(cli.in), {});
    } else {
      if (std::filesystem::is_directory(*file)) throw BadInput({*file, 0, "", "is a folder", "a case file"});
      std::ifstream in(*file, std::ios::binary);
      if (!in) throw BadInput({*file, 0, "", "cannot be read", "a readable case file"});
      content.assign(std::istreambuf_iterator<char>(in), {});
    }
    const Case c = parse_case(cli.knowledge(), content, *file);
    const Diagnosis d = diagnose(cli.knowledge(), c.bike, c.entries, c.shop);
    if (cli.json) return cli.output.json(diagnosis_json(d, c.shop));
    cli.output.suspects(d, 10);
    cli.output.verdicts(d);
    cli.output.next(d, c.shop, 4);
    cli.output.line(fmt::format("\nSets of four and more faults: at most {:.2f} %.", 100 * d.belief.left_out()));
  });
}

}  // namespace crankwise::set_up
