#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eaveshed/explain/explain.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr double kAgreement = 1e-9;

std::optional<double> number_in(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return *real;
    }
    const auto* const whole = std::get_if<std::int64_t>(&value);
    return whole != nullptr ? std::optional(static_cast<double>(*whole)) : std::nullopt;
}

}  // namespace

bool agree(const Value& stored, const Value& recomputed) {
    const auto a = number_in(stored);
    const auto b = number_in(recomputed);
    if (!a || !b) {
        return stored == recomputed;
    }
    return std::abs(*a - *b) <= kAgreement * std::max({1.0, std::abs(*a), std::abs(*b)});
}

Trouble trouble_of(const Explained& explained) {
    std::vector<std::string> changed;
    for (const RecordedInput& input : explained.run.inputs) {
        if (input.changed) {
            changed.push_back(setting_and_path(input.setting, input.path));
        }
    }
    return {explained.run.file,
            fmt::format("{} of the {} values stored of {} not as recomputed", explained.differences.size(),
                        explained.values_compared, explained.subject),
            changed.empty() ? "a row that its recorded inputs and settings give"
                            : "the inputs that were screened; changed since then: " + listed(changed),
            changed.empty()
                ? "the row or the run record was edited, or another version or machine made the file: screen again"
                : "screen again, or bring the old inputs back"};
}

}  // namespace eaveshed
