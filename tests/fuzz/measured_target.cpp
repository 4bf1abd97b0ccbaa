// The table of measured values, as a CSV. Every row has its entry: a value that is used, one that is not, or a reason.
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

void fuzz_measured(Bytes bytes) {
    const std::string path = scratch_file("measured.csv", bytes);
    Findings findings;
    accepts([&] {
        VectorSource source = VectorSource::open("overrides", {path, ""}, {}, "", findings);
        OverrideTable table = read_override_table(source, findings);
        for (OverrideEntry& entry : table.entries) {
            require(entry.row.roof_id.has_value() || entry.row.parcel_id.has_value() ||
                        entry.row.outcome == OverrideOutcome::not_usable,
                    "an entry for nobody");
            write_unused(entry);
            require(entry.unused.empty() == !entry.row.unused.has_value(), "values that are left out untold");
        }
    });
}

}  // namespace eaveshed::fuzz
