#include "cli/describe.h"

#include <CLI/CLI.hpp>
#include <sstream>
#include <vector>

namespace roomloom::cli {
namespace {

struct Flag {
  std::vector<std::string> names;  ///< "--paper", "-o"
  std::string value;               ///< "PAPER"; empty for a flag without a value
  std::string text;
  std::vector<std::string> choices;
};

struct Command {
  std::string name, text;
  std::vector<std::string> operands;  ///< "JOB"
  std::vector<Flag> flags;
};

/// The words of "PAPER:{a3,a4,letter}".
std::vector<std::string> choices_of(const std::string& type) {
  const auto from = type.find('{'), to = type.find('}');
  std::vector<std::string> choices;
  if (from == std::string::npos || to == std::string::npos) return choices;
  std::istringstream words(type.substr(from + 1, to - from - 1));
  for (std::string word; std::getline(words, word, ',');) choices.push_back(word);
  return choices;
}

Flag flag_of(const CLI::Option& option) {
  Flag flag;
  for (const std::string& name : option.get_lnames()) flag.names.push_back("--" + name);
  for (const std::string& name : option.get_snames()) flag.names.push_back("-" + name);
  flag.text = option.get_description();
  if (option.get_items_expected_max() > 0) {
    const std::string type = option.get_type_name();
    flag.value = type.substr(0, type.find(':'));
    if (flag.value == "TEXT") flag.value = "WORD";
    if (flag.value == "FLOAT") flag.value = "NUMBER";
    flag.choices = choices_of(type);
  }
  return flag;
}

std::vector<Command> commands_of(const CLI::App& app) {
  std::vector<Command> commands;
  for (const CLI::App* each : app.get_subcommands({})) {
    if (each->get_group().empty()) continue;  // hidden
    Command command{each->get_name(), each->get_description(), {}, {}};
    for (const CLI::Option* option : each->get_options()) {
      if (option->get_positional()) {
        command.operands.push_back(option->get_name());
      } else {
        command.flags.push_back(flag_of(*option));
      }
    }
    commands.push_back(std::move(command));
  }
  return commands;
}

std::string roff(const std::string& text) {
  std::string safe;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\\')
      safe += "\\e";
    else if (text[i] == '-')
      safe += "\\-";
    else if ((text[i] == '.' || text[i] == '\'') && (i == 0 || text[i - 1] == '\n'))
      safe += std::string("\\&") + text[i];
    else
      safe += text[i];
  }
  return safe;
}

void manual_of(const Command& command, std::ostream& out) {
  out << ".SS roomloom " << command.name;
  for (const std::string& operand : command.operands) out << " " << operand;
  out << "\n" << roff(command.text) << ".\n";
  for (const Flag& flag : command.flags) {
    out << ".TP\n";
    for (std::size_t i = 0; i < flag.names.size(); ++i)
      out << (i == 0 ? "" : ", ") << "\\fB" << roff(flag.names[i]) << "\\fR";
    if (!flag.value.empty()) out << " \\fI" << roff(flag.value) << "\\fR";
    out << "\n" << roff(flag.text) << "\n";
  }
}

std::string manual(const CLI::App& app, const std::string& version) {
  std::ostringstream out;
  out << ".TH ROOMLOOM 1 \"\" \"" << version << "\" \"User Commands\"\n"
      << ".SH NAME\nroomloom \\- plan every cable run of a room inside the modelled room\n"
      << ".SH SYNOPSIS\n.B roomloom\n\\fICOMMAND\\fR [\\fIOPTION\\fR]...\n"
      << ".SH DESCRIPTION\n"
      << roff(app.get_description()) << "\n.SH COMMANDS\n";
  for (const Command& command : commands_of(app)) manual_of(command, out);
  out << ".SH NOTES\n.nf\n" << roff(app.get_footer()) << "\n.fi\n";
  return out.str();
}

std::string joined(const std::vector<std::string>& words, const char* between) {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : between) + word;
  return all;
}

/// A word as a shell takes it literally.
std::string quoted(const std::string& word) {
  std::string safe = "'";
  for (const char c : word) safe += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return safe + "'";
}

std::string bash(const std::vector<Command>& commands) {
  std::ostringstream out;
  out << "# bash completion for roomloom\n_roomloom() {\n"
      << "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} words=''\n"
      << "  local IFS=$'\\n'\n  COMPREPLY=()\n"
      << "  case \"${COMP_WORDS[1]} $before\" in\n";
  for (const Command& command : commands) {
    for (const Flag& flag : command.flags) {
      if (flag.choices.empty()) continue;
      std::vector<std::string> cases;
      for (const std::string& name : flag.names) cases.push_back(quoted(command.name + " " + name));
      // A choice of two words has to arrive as one.
      std::vector<std::string> choices;
      for (const std::string& choice : flag.choices)
        choices.push_back(choice.find(' ') == std::string::npos ? choice : "\"" + choice + "\"");
      out << "    " << joined(cases, "|") << ") words=$" << quoted(joined(choices, "\\n"))
          << " ;;\n";
    }
  }
  out << "    *)\n      if [ \"$COMP_CWORD\" = 1 ]; then words=$'";
  for (const Command& command : commands) out << command.name << "\\n";
  out << "--help\\n--version'\n      elif [[ $word == -* ]]; then\n        case ${COMP_WORDS[1]} "
         "in\n";
  for (const Command& command : commands) {
    std::vector<std::string> names;
    for (const Flag& flag : command.flags)
      names.insert(names.end(), flag.names.begin(), flag.names.end());
    out << "          " << command.name << ") words=$" << quoted(joined(names, "\\n")) << " ;;\n";
  }
  out << "        esac\n      fi ;;\n  esac\n"
      << "  [ -z \"$words\" ] || mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n"
      << "  local i\n  for i in \"${!COMPREPLY[@]}\"; do\n"
      << "    COMPREPLY[i]=$(printf %q \"${COMPREPLY[i]}\")\n  done\n}\n"
      << "complete -o default -F _roomloom roomloom\n";
  return out.str();
}

/// zsh reads "[", "]" and ":" of a description as its own.
std::string zsh_text(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\') safe += '\\';
    safe += c;
  }
  return safe;
}

std::string zsh(const std::vector<Command>& commands) {
  std::ostringstream out;
  out << "#compdef roomloom\n_roomloom() {\n  local -a commands=(\n";
  for (const Command& command : commands)
    out << "    " << quoted(command.name + ":" + zsh_text(command.text)) << "\n";
  out << "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    return\n  fi\n"
      << "  case $words[2] in\n";
  for (const Command& command : commands) {
    out << "    " << command.name << ") _arguments -s '*:file:_files'";
    for (const Flag& flag : command.flags) {
      std::vector<std::string> choices;
      for (std::string choice : flag.choices) {
        for (auto at = choice.find(' '); at != std::string::npos; at = choice.find(' ', at + 2))
          choice.insert(at, "\\");
        choices.push_back(choice);
      }
      for (const std::string& name : flag.names) {
        std::string spec = name + "[" + zsh_text(flag.text) + "]";
        if (!choices.empty())
          spec += ":" + flag.value + ":(" + joined(choices, " ") + ")";
        else if (!flag.value.empty())
          spec += ":" + flag.value + ":_files";
        out << " \\\n      " << quoted(spec);
      }
    }
    out << " ;;\n";
  }
  out << "  esac\n}\n_roomloom \"$@\"\n";
  return out.str();
}

std::string fish(const std::vector<Command>& commands) {
  std::ostringstream out;
  out << "# fish completion for roomloom\n";
  for (const Command& command : commands) {
    out << "complete -c roomloom -n __fish_use_subcommand -f -a " << command.name << " -d "
        << quoted(command.text) << "\n";
  }
  for (const Command& command : commands) {
    for (const Flag& flag : command.flags) {
      out << "complete -c roomloom -n '__fish_seen_subcommand_from " << command.name << "'";
      for (const std::string& name : flag.names)
        out << (name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1));
      if (!flag.choices.empty()) {
        std::string choices;
        for (const std::string& choice : flag.choices)
          choices += (choices.empty() ? "" : " ") + quoted(choice);
        out << " -x -a \"" << choices << "\"";
      } else if (!flag.value.empty()) {
        out << " -r";
      }
      out << " -d " << quoted(flag.text) << "\n";
    }
  }
  return out.str();
}

}  // namespace

std::string describe(const CLI::App& app, const std::string& what, const std::string& version) {
  if (what == "man") return manual(app, version);
  const std::vector<Command> commands = commands_of(app);
  if (what == "bash") return bash(commands);
  if (what == "zsh") return zsh(commands);
  if (what == "fish") return fish(commands);
  return {};
}

}  // namespace roomloom::cli
