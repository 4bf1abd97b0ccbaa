#include "eaveshed/facts/walk.hpp"

namespace eaveshed {

namespace {

// A member without a row would be lost on its way to the disk, to the output and from the table of measured values.
template <typename Facts>
constexpr std::size_t size_by_rows() {
    std::size_t bytes = alignof(Facts);  // the measured ones, with what fills them up
    static_assert(sizeof(FactSet) <= alignof(Facts));
    for (const KnownFact<Facts>& fact : FactsOf<Facts>::table) {
        bytes += std::holds_alternative<std::optional<double> Facts::*>(fact.member)
                     ? sizeof(std::optional<double>)
                     : sizeof(std::optional<std::string>);
    }
    return bytes;
}
static_assert(size_by_rows<RoofFacts>() == sizeof(RoofFacts), "every member of RoofFacts has one row in kRoofFacts");
static_assert(size_by_rows<ParcelFacts>() == sizeof(ParcelFacts),
              "every member of ParcelFacts has one row in kParcelFacts");
static_assert(kRoofFacts.size() <= 32 && kParcelFacts.size() <= 32, "a FactSet holds 32 rows");

template <typename Facts>
void take(const Facts& given, Facts& facts) {
    merge_facts(given, facts);
    std::size_t row = 0;
    visit_facts<Facts>(given, [&](const auto& /*fact*/, const auto& value) {
        if (value) {
            facts.measured.add(row);
        }
        ++row;
    });
}

}  // namespace

void take_measured(const RoofFacts& given, RoofFacts& facts) {
    take(given, facts);
}

void take_measured(const ParcelFacts& given, ParcelFacts& facts) {
    if (given.water_source && given.water_source != facts.water_source) {
        facts.source_share.reset();
    }
    take(given, facts);
}

Flag assumed_flag(Question question) {
    for (const KnownFact<RoofFacts>& fact : kRoofFacts) {
        if (fact.asked == question && fact.assumed) {
            return *fact.assumed;
        }
    }
    for (const KnownFact<ParcelFacts>& fact : kParcelFacts) {
        if (fact.asked == question && fact.assumed) {
            return *fact.assumed;
        }
    }
    internal_error("no fact leads to a question");
}

}  // namespace eaveshed
