// How a check of a sample decides, and how its finding tells of it. Private to the module.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/check_code.hpp"
#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/plausible/judge_roofs.hpp"

namespace eaveshed {

// One of a sample and what a check asks of it.
template <typename Sample>
struct Asked {
    const Sample* of = nullptr;
    double value = 0.0;
};

inline bool outside(const CheckRule& rule, double value) {
    return (rule.low != 0.0 && value < rule.low) || (rule.high != 0.0 && value > rule.high);
}

// Three digits, and no powers of ten.
inline std::string figure(double value) {
    constexpr double kWhole = 100.0;
    return std::abs(value) < kWhole ? fmt::format("{:.3g}", value) : fmt::format("{:.0f}", value);
}

inline double share_of(std::size_t some, std::size_t all) {
    return static_cast<double>(some) / static_cast<double>(all);
}

inline std::optional<double> ratio(const std::optional<double>& a, const std::optional<double>& b) {
    return a && b && *b > 0.0 ? std::optional(*a / *b) : std::nullopt;
}

// As the rule has it: "5 m2 or more", "15 or less", "0.4 to 2.5".
inline std::string bounds_text(const CheckRule& rule, const std::string& unit = "") {
    if (rule.low == 0.0) {
        return fmt::format("{:g}{} or less", rule.high, unit);
    }
    return rule.high == 0.0 ? fmt::format("{:g}{} or more", rule.low, unit)
                            : fmt::format("{:g} to {:g}{}", rule.low, rule.high, unit);
}

template <typename Sample>
class SampleJudge {
public:
    using One = Asked<Sample>;
    using List = std::vector<One>;
    using Ask = std::function<std::optional<double>(const Sample&)>;
    using Example = std::function<std::string(const One&)>;  // what stands behind a name

    SampleJudge(const std::vector<Sample>& sample, Findings& findings) : m_sample(sample), m_findings(findings) {}

    // Those with a value, ascending by it, equals in the sample's order.
    [[nodiscard]] List asked(const Ask& ask) const {
        List list;
        for (const Sample& one : m_sample) {
            if (const auto value = ask(one); value && std::isfinite(*value)) {
                list.push_back({&one, *value});
            }
        }
        std::ranges::stable_sort(list, {}, &One::value);
        return list;
    }
    [[nodiscard]] static List those_outside(const CheckRule& rule, const List& list) {
        List out;
        std::ranges::copy_if(list, std::back_inserter(out), [&](const One& one) { return outside(rule, one.value); });
        return out;
    }
    [[nodiscard]] static double middle_of(const List& list) {
        std::vector<double> values;
        values.reserve(list.size());
        for (const One& one : list) {
            values.push_back(one.value);
        }
        return median(values);
    }
    // "93 % of 400 roofs looked at, such as "B00012" (9.8 m)": of `some` the middle one.
    [[nodiscard]] static std::string concerned(const CheckRule& rule, const List& some, std::size_t all,
                                               const Example& example) {
        const One& middle = some[some.size() / 2];
        return fmt::format("{:.0f} % of {} {} looked at, such as \"{}\" ({})", 100.0 * share_of(some.size(), all), all,
                           rule.of, middle.of->id, example(middle));
    }

    // Where the middle value is outside the bounds.
    void by_middle(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                   const std::string& wanted, const Example& example) const {
        const CheckRule& rule = rule_of(code);
        const List list = asked(ask);
        if (list.size() < kLeastJudged || !outside(rule, middle_of(list))) {
            return;
        }
        m_findings.check(code, {where,
                                fmt::format("{} of {} in the middle; so are {}", what, figure(middle_of(list)),
                                            concerned(rule, those_outside(rule, list), list.size(), example)),
                                wanted, ""});
    }
    // Where at least the rule's share of them is outside the bounds. `remedy`: empty for the rule's.
    void by_share(CheckCode code, const std::string& where, const Ask& ask, const std::string& what,
                  const std::string& wanted, const Example& example, const std::string& remedy = "") const {
        const CheckRule& rule = rule_of(code);
        const List list = asked(ask);
        const List some = those_outside(rule, list);
        if (list.size() < kLeastJudged || share_of(some.size(), list.size()) < rule.share) {
            return;
        }
        m_findings.check(code, {where, what + ": " + concerned(rule, some, list.size(), example), wanted, remedy});
    }

private:
    const std::vector<Sample>& m_sample;
    Findings& m_findings;
};

}  // namespace eaveshed
