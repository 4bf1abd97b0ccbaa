// A call list that people have filled in, as a CSV. Entries have an id, a word and a date that is one or none.
#include "eaveshed/core/calendar.hpp"
#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/fieldbook/contact_word.hpp"
#include "eaveshed/vector/vector_source.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

void fuzz_calls(Bytes bytes) {
    const std::string path = scratch_file("calls.csv", bytes);
    Findings findings;
    accepts([&] {
        VectorSource source = VectorSource::open("contacts", {path, ""}, {}, "", findings);
        const CallTable table = read_call_table(source, findings);
        require(table.entries.size() + table.without_id <= table.rows, "more entries than rows");
        for (const CallEntry& entry : table.entries) {
            require(!entry.parcel_id.empty() && !entry.status.empty(), "an entry that says nothing");
            require(entry.date.empty() || date_from_text(entry.date, Calendar::standard), "a date that is none");
            if (const auto status = contact_status_of(entry.status)) {
                require(contact_status_of(std::string(to_text(*status))) == status, "a word that is another's");
            }
        }
    });
}

}  // namespace eaveshed::fuzz
