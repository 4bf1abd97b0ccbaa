#include "eaveshed/offer/asked_reaches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <unordered_set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kNameBytes = 40;
constexpr std::size_t kNamesListed = 10;

// Each once, as the first reach writes it, in the order of the file.
std::vector<std::string> creek_names(const FileReaches& streams) {
    std::vector<std::string> names;
    std::unordered_set<std::string> seen;
    for (const ReachRow& row : streams.rows) {
        if (row.creek && !creek_key(*row.creek).empty() && seen.insert(creek_key(*row.creek)).second) {
            names.push_back(*row.creek);
        }
    }
    return names;
}

}  // namespace

void require_reaches(const FileReaches& streams, const std::string& words, const std::string& file) {
    if (!streams.layer) {
        throw input_error(file, "no layer reaches: a version that kept none made this file", "reaches, for " + words,
                          "screen the basin again with this version");
    }
    if (streams.empty()) {
        throw input_error(file, "no reaches: the basin was screened without streams", "reaches, for " + words,
                          "give [streams] source in the project file, or set streams.derive = true, and screen again");
    }
}

std::string asked_streams(const AskedReaches& asked) {
    const std::string creek = printable(asked.creek, kNameBytes);
    return asked.reach.empty() ? creek
                               : fmt::format("reach {} or one upstream of it{}", printable(asked.reach, kNameBytes),
                                             creek.empty() ? "" : " on " + creek);
}

std::string asked_words(const std::string& words) {
    return words.empty() ? words : " " + words;
}

ReachFilter::ReachFilter(const FileReaches& streams, const AskedReaches& asked, const std::string& file) {
    if (!asked.any()) {
        return;
    }
    require_reaches(
        streams, asked.reach.empty() ? "--creek " + printable(asked.creek) : "--reach " + printable(asked.reach), file);
    m_all = false;
    m_kept.assign(streams.rows.size(), true);
    if (!asked.reach.empty()) {
        keep_upstream(streams, asked.reach, file);
    }
    if (!asked.creek.empty()) {
        keep_creek(streams, asked.creek, file);
    }
    if (std::ranges::find(m_kept, true) == m_kept.end()) {
        throw input_error(file,
                          fmt::format("reach {} and those upstream of it are not on {}",
                                      printable(asked.reach, kNameBytes), printable(asked.creek, kNameBytes)),
                          "a creek that flows through the reach",
                          "leave --reach or --creek out: with both only the creek's reaches there count");
    }
}

void ReachFilter::keep_upstream(const FileReaches& streams, const std::string& reach, const std::string& file) {
    const std::uint32_t number = streams.number(reach);
    if (number == kNoReach) {
        std::vector<std::string> ids;
        for (const ReachRow& row : streams.rows) {
            ids.push_back(row.reach_id);
        }
        throw input_error(file, fmt::format("no reach \"{}\"", printable(reach)),
                          "--reach with one of " + listed(ids, kNamesListed),
                          did_you_mean(reach, ids, "the column reach_id of the layer reaches names them all"));
    }
    m_kept.assign(streams.rows.size(), false);
    for (const std::uint32_t above : streams.tree.upstream_of(number)) {
        m_kept[above] = true;
    }
    m_words = fmt::format("at reach {} and upstream", printable(reach, kNameBytes));
}

void ReachFilter::keep_creek(const FileReaches& streams, const std::string& creek, const std::string& file) {
    const std::string key = creek_key(creek);
    std::string name;
    for (std::size_t i = 0; i < streams.rows.size(); ++i) {
        const bool bears = creek_key(streams.rows[i].creek.value_or("")) == key && !key.empty();
        name = bears && name.empty() ? *streams.rows[i].creek : name;
        m_kept[i] = m_kept[i] && bears;
    }
    if (name.empty()) {
        const std::vector<std::string> names = creek_names(streams);
        throw input_error(file, fmt::format("no creek \"{}\"", printable(creek)),
                          names.empty() ? "reaches with names: this file has none"
                                        : "--creek with one of " + listed(names, kNamesListed),
                          names.empty()
                              ? "ask with --reach: lines of streams.source have the names of streams.name, derived "
                                "streams none"
                              : did_you_mean(creek, names, "the column creek of the layer reaches names them"));
    }
    m_words += fmt::format("{}on {}", m_words.empty() ? "" : ", ", printable(name, kNameBytes));
}

bool ReachFilter::holds(std::uint32_t reach) const {
    return m_all || (reach < m_kept.size() && m_kept[reach]);
}

}  // namespace eaveshed
