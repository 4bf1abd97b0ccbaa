// The part of the streams that a list or a plan is asked for: a reach with all that flows into it, or a creek by name.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "eaveshed/result/reaches_of_file.hpp"

namespace eaveshed {

// As the user named them; empty: not asked. With both, what is in both.
struct AskedReaches {
    std::string reach = {};  // its id
    std::string creek = {};  // its name; case and blanks around it count nothing

    [[nodiscard]] bool any() const { return !reach.empty() || !creek.empty(); }
};

// Value type. method.md 8.11.
class ReachFilter {
public:
    // `streams` of `file`. Where something is asked, input errors: a file without reaches, a reach or a creek that is
    // not there (with the nearest that is), a creek without a reach at the place that is asked for.
    ReachFilter(const FileReaches& streams, const AskedReaches& asked, const std::string& file);

    // Whether an offer that enters `reach` (its number; kNoReach: none) is asked for; always where no reach is.
    [[nodiscard]] bool holds(std::uint32_t reach) const;
    // "at reach 12 and upstream"; empty where nothing is asked.
    [[nodiscard]] const std::string& words() const { return m_words; }

private:
    void keep_upstream(const FileReaches& streams, const std::string& reach, const std::string& file);
    void keep_creek(const FileReaches& streams, const std::string& creek, const std::string& file);

    bool m_all = true;
    std::vector<bool> m_kept;  // by reach
    std::string m_words;
};

// What is asked for, as something that an offer enters: "reach 12 or one upstream of it"; one of both is.
[[nodiscard]] std::string asked_streams(const AskedReaches& asked);

// " at reach 12 and upstream" behind a noun; empty where nothing is asked.
[[nodiscard]] std::string asked_words(const std::string& words);

// Input error: a file without reaches, asked for `words` ("--reach 12").
void require_reaches(const FileReaches& streams, const std::string& words, const std::string& file);

}  // namespace eaveshed
