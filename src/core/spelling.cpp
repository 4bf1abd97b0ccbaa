#include "eaveshed/core/spelling.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace eaveshed {

namespace {

constexpr std::size_t kLongestWord = 256;  // longer words are nobody's slip of the pen, and cost time squared

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before_last(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        row[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        before_last.swap(last);
        last.swap(row);
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = ascii_lower(a[i - 1]) == ascii_lower(b[j - 1]);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0U : 1U)});
            if (i > 1 && j > 1 && ascii_lower(a[i - 1]) == ascii_lower(b[j - 2]) &&
                ascii_lower(a[i - 2]) == ascii_lower(b[j - 1])) {
                row[j] = std::min(row[j], before_last[j - 2] + 1);
            }
        }
    }
    return row[b.size()];
}

std::vector<std::string_view> closest_names(std::string_view word, std::span<const std::string_view> known,
                                            std::size_t most) {
    if (word.empty() || word.size() > kLongestWord) {
        return {};
    }
    const std::size_t farthest = std::max<std::size_t>(2, word.size() / 3);
    std::vector<std::pair<std::size_t, std::string_view>> near;
    for (const std::string_view name : known) {
        const std::size_t distance = edit_distance(word, name);
        // A name of which nothing is left is no suggestion.
        if (distance <= farthest && distance < name.size()) {
            near.emplace_back(distance, name);
        }
    }
    std::ranges::stable_sort(near, {}, &std::pair<std::size_t, std::string_view>::first);
    std::vector<std::string_view> names;
    for (std::size_t i = 0; i < near.size() && i < most; ++i) {
        names.push_back(near[i].second);
    }
    return names;
}

std::string_view closest_name(std::string_view word, std::span<const std::string_view> known) {
    const auto nearest = closest_names(word, known, 1);
    return nearest.empty() ? std::string_view{} : nearest.front();
}

}  // namespace eaveshed
