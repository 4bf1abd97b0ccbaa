// Materials of footprints that the table of coefficients does not know. Private to the module.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/facts/facts.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

// Words of the material field by how often they stand there, where the table of coefficients has none of them.
class UnknownMaterials {
public:
    explicit UnknownMaterials(const Settings& settings) : m_table(settings.harvest.runoff_coefficient) {}

    void see(const RoofFacts& facts) {
        constexpr std::size_t kMostWords = 1000;  // of a field that holds something else
        if (!facts.material || facts.material->empty() || facts.runoff_coefficient ||
            m_table.contains(*facts.material)) {
            return;
        }
        ++m_footprints;
        if (m_words.size() < kMostWords || m_words.contains(*facts.material)) {
            ++m_words[*facts.material];
        }
    }
    void report(const std::string& where, std::uint64_t of, Findings& findings) const {
        constexpr std::size_t kShown = 8;
        std::vector<std::pair<std::string, std::uint64_t>> words(m_words.begin(), m_words.end());
        std::ranges::stable_sort(words, std::ranges::greater{}, &std::pair<std::string, std::uint64_t>::second);
        std::vector<std::string> shown;
        shown.reserve(words.size());
        for (const auto& [word, count] : words) {
            shown.push_back(fmt::format("\"{}\" ({})", printable(word, 40), count));
        }
        findings.tell(m_footprints, of,
                      {where,
                       fmt::format("{} whose material matches nothing in the table: {}",
                                   counted(m_footprints, "footprint"), listed(shown, kShown)),
                       "materials of [harvest.runoff_coefficient], written just so",
                       "list them there with their coefficients: until then the default stands (flag "
                       "default_material)"});
    }

private:
    const std::map<std::string, double>& m_table;
    std::map<std::string, std::uint64_t> m_words;
    std::uint64_t m_footprints = 0;
};

}  // namespace eaveshed
