#include "eaveshed/project/read_settings.hpp"

#include <algorithm>
#include <cctype>
#include <vector>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "eaveshed/network/address.hpp"
#include "eaveshed/settings/suggest.hpp"
#include "eaveshed/settings/table.hpp"
#include "given.hpp"
#include "read_value.hpp"
#include "setting_rules.hpp"
#include "settings_document.hpp"
#include "value_words.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostBytes = std::size_t{4} << 20U;

class Loader {
public:
    Loader(const std::string& path, Findings& findings, bool has_lines)
        : m_given(path),
          m_findings(findings),
          m_errors_before(findings.count(Severity::error)),
          m_has_lines(has_lines) {}

    std::optional<Settings> load(std::string_view text, const std::string& path) {
        if (text.size() > kMostBytes || nests_too_deeply(text)) {
            m_findings.error({path, text.size() > kMostBytes ? "more than 4 MiB" : "a key of more than 100 parts",
                              "a project file", "check that this is the right file"});
            return std::nullopt;
        }
        try {
            return load(toml::parse(text, path));
        } catch (const toml::parse_error& fault) {
            m_findings.error({m_given.where(place_of(fault.source())), std::string(fault.description()), "valid TOML",
                              "correct the line; text stands in quotes, lists in [ ], sections in lines like [rain]"});
            return std::nullopt;
        }
    }

    std::optional<Settings> load(const toml::table& document) {
        read_tables(document);
        report_refusals();
        check_required(m_settings, m_given, m_findings);
        if (m_findings.count(Severity::error) == m_errors_before) {
            check_rules(m_settings, m_given, m_findings);
        }
        if (m_findings.count(Severity::error) != m_errors_before) {
            return std::nullopt;
        }
        note_without_effect(m_settings, m_given, m_findings);
        return std::move(m_settings);
    }

private:
    [[nodiscard]] Place place_of(const toml::source_region& region) const {
        return m_has_lines ? Place{region.begin.line, region.begin.column} : Place{};
    }

    void read_tables(const toml::table& document) {
        for (const auto& [key, node] : document) {
            const std::string name(key.str());
            const Section* section = find_section(name);
            if (section == nullptr) {
                refuse_section(key, node);
            } else if (section->repeated) {
                read_repeated(*section, node);
            } else if (const auto* table = node.as_table()) {
                read_section(*section, *table, 0);
            } else {
                refuse(node.source(), name, shown(node), fmt::format("one table, {}", brackets(*section)),
                       fmt::format("write {} on a line of its own and the settings below it", brackets(*section)));
            }
        }
    }

    void read_repeated(const Section& section, const toml::node& node) {
        const std::string name(section.name);
        const auto* array = node.as_array();
        if (array == nullptr || !array->is_array_of_tables()) {
            refuse(node.source(), name, shown(node), fmt::format("one or more tables, {}", brackets(section)),
                   fmt::format("write {} above each one's settings", brackets(section)));
            return;
        }
        resize(section, array->size());
        for (std::size_t item = 0; item < array->size(); ++item) {
            m_given.add(fmt::format("{}.{}", name, item + 1), place_of((*array)[item].source()));
            read_section(section, *(*array)[item].as_table(), item);
        }
    }

    void resize(const Section& section, std::size_t count) {
        if (section.name == "tanks") {
            m_settings.tanks.assign(count, TankOption{});
        } else if (section.name == "exclusions") {
            m_settings.exclusions.resize(count);
        } else {
            m_settings.scenarios.resize(count);
        }
    }

    void read_section(const Section& section, const toml::table& table, std::size_t item) {
        const std::string prefix =
            section.repeated ? fmt::format("{}.{}.", section.name, item + 1) : fmt::format("{}.", section.name);
        for (const auto& [key, node] : table) {
            const std::string name = prefix + shown_name(key.str());
            const Setting* setting = find_setting(section.name, key.str());
            if (setting == nullptr) {
                refuse(key.source(), name, "an unknown setting", fmt::format("a setting of {}", brackets(section)),
                       suggestion_for_key(key.str(), section));
                continue;
            }
            m_given.add(name, place_of(key.source()));
            if (const auto refused = read_value(node, *setting, m_settings, item)) {
                refuse(refused->at->source(),
                       refused->part.empty() ? name : fmt::format("{}.{}", name, shown_name(refused->part)),
                       refused->found, refused->wanted, refused->remedy);
            }
        }
    }

    void refuse_section(const toml::key& key, const toml::node& node) {
        const std::string name = shown_name(key.str());
        if (node.is_table() || node.is_array_of_tables()) {
            refuse(key.source(), name, "an unknown section", "a section of a project file",
                   suggestion_for_section(name));
        } else {
            refuse(key.source(), name, "a setting outside any section", "a setting below its section",
                   suggestion_for_key(name));
        }
    }

    void refuse(const toml::source_region& at, const std::string& key, std::string found, std::string wanted,
                std::string remedy) {
        const Place place = place_of(at);
        m_refusals.emplace_back(
            place, Trouble{m_given.where(place, key), std::move(found), std::move(wanted), std::move(remedy)});
    }

    // In the order of the file: tables forget it.
    void report_refusals() {
        std::ranges::stable_sort(m_refusals, [](const auto& a, const auto& b) {
            return std::pair(a.first.line, a.first.column) < std::pair(b.first.line, b.first.column);
        });
        for (auto& [place, trouble] : m_refusals) {
            m_findings.error(std::move(trouble));
        }
    }

    Settings m_settings;
    Given m_given;
    Findings& m_findings;
    std::size_t m_errors_before;
    bool m_has_lines;
    std::vector<std::pair<Place, Trouble>> m_refusals;
};

}  // namespace

bool nests_too_deeply(std::string_view text) {
    constexpr std::size_t kDeepestKey = 100;
    std::size_t dots = 0;
    bool after_part = false;
    for (const char c : text) {
        const bool part =
            std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-' || c == '"' || c == '\'';
        if (c == '.' && after_part) {
            ++dots;
            after_part = false;
        } else if (part) {
            after_part = true;
        } else if (c != ' ' && c != '\t') {
            dots = 0;
            after_part = false;
        }
        if (dots > kDeepestKey) {
            return true;
        }
    }
    return false;
}

std::optional<Settings> read_settings(std::string_view toml_text, const std::string& path_for_messages,
                                      Findings& findings) {
    return Loader(path_for_messages, findings, true).load(toml_text, path_for_messages);
}

std::optional<Settings> read_document(const toml::table& document, const std::string& path_for_messages,
                                      Findings& findings) {
    return Loader(path_for_messages, findings, false).load(document);
}

Settings load_settings(std::string_view toml_text, const std::string& path_for_messages) {
    Findings findings;
    auto settings = read_settings(toml_text, path_for_messages, findings);
    if (!settings) {
        throw error_of(findings, path_for_messages);
    }
    return *std::move(settings);
}

Error error_of(const Findings& findings, const std::string& path_for_messages) {
    std::vector<Trouble> errors;
    for (const Finding& finding : findings.list()) {
        if (finding.severity == Severity::error) {
            errors.push_back(finding.trouble);
        }
    }
    if (errors.empty()) {
        internal_error("an error asked for where there is none");
    }
    if (errors.size() == 1) {
        return {Fault::input, errors.front()};
    }
    std::string list = "correct each of these:";
    for (const Trouble& trouble : errors) {
        list += fmt::format("\n  {}", to_text(trouble));
    }
    return {Fault::input, {path_for_messages, fmt::format("{} errors", errors.size()), "", list}};
}

std::string resolved_path(const std::string& project_file, const std::string& given) {
    const auto slash = project_file.rfind('/');
    const bool absolute = is_address(given) || (!given.empty() && given.front() == '/');
    return absolute || slash == std::string::npos ? given : project_file.substr(0, slash + 1) + given;
}

}  // namespace eaveshed
