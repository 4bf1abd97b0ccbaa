#include "eaveshed/rain/record.hpp"

#include <cmath>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/rain/condense.hpp"
#include "eaveshed/rain/years.hpp"

namespace eaveshed {

namespace {

template <class... Cases>
struct Overloaded : Cases... {
    using Cases::operator()...;
};
template <class... Cases>
Overloaded(Cases...) -> Overloaded<Cases...>;

void require_kind(const Timeline& timeline, RainKind kind) {
    if (timeline.kind != kind) {
        internal_error("a rain record of another kind than its timeline");
    }
}

}  // namespace

MeanYear::MeanYear(Timeline timeline_) : timeline(std::move(timeline_)) {
    require_kind(timeline, RainKind::monthly_normals);
}

MonthRecord::MonthRecord(Timeline timeline_) : timeline(std::move(timeline_)) {
    require_kind(timeline, RainKind::monthly);
}

RainRecord record_of_months(Timeline timeline) {
    if (timeline.kind == RainKind::monthly_normals) {
        return MeanYear(std::move(timeline));
    }
    return MonthRecord(std::move(timeline));
}

const Timeline& timeline_of(const RainRecord& record) {
    return std::visit([](const auto& of_kind) -> const Timeline& { return of_kind.timeline; }, record);
}

std::size_t depth_count(const RainRecord& record) {
    return std::visit(Overloaded{[](const CondensedDays& days) { return days.wet_steps.size(); },
                                 [](const auto& months) { return months.timeline.steps.size(); }},
                      record);
}

std::vector<double> depths_of(const RainRecord& record, std::vector<double> recorded) {
    const auto* const days = std::get_if<CondensedDays>(&record);
    return days != nullptr ? keep_days(recorded, days->wet_steps) : std::move(recorded);
}

std::vector<TankYear> counted_years(const RainRecord& record, std::span<const double> depths_mm) {
    return std::visit(
        Overloaded{
            [&](const CondensedDays& days) { return counted_years(days.timeline, days.spells, depths_mm); },
            [&](const auto& months) { return counted_years(months.timeline, depths_mm); },
        },
        record);
}

std::vector<double> step_depths_mm(const RainRecord& record, std::span<const double> depths_mm) {
    const auto* const days = std::get_if<CondensedDays>(&record);
    if (days == nullptr) {
        return dry_where_missing(depths_mm);
    }
    std::vector<double> steps(days->timeline.steps.size(), 0.0);
    std::size_t next = 0;
    for (const Spell& spell : days->spells) {
        if (spell.wet) {
            const double depth_mm = depths_mm[next++];
            steps[spell.step] += std::isnan(depth_mm) ? 0.0 : depth_mm;
        }
    }
    return steps;
}

void scale_by_month(const RainRecord& record, const std::array<double, 12>& factors, std::vector<double>& depths_mm) {
    std::size_t next = 0;
    const auto scale = [&](std::int8_t month) {
        depths_mm.at(next++) *= factors.at(static_cast<std::size_t>(month - 1));
    };
    if (const auto* const days = std::get_if<CondensedDays>(&record)) {
        for (const Spell& spell : days->spells) {
            if (spell.wet) {
                scale(spell.month);
            }
        }
        return;
    }
    for (const Step& step : timeline_of(record).steps) {
        scale(step.month);
    }
}

}  // namespace eaveshed
