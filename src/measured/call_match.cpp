#include "eaveshed/measured/call_match.hpp"

#include <fmt/format.h>

#include <map>
#include <unordered_map>
#include <utility>

#include "eaveshed/fieldbook/contact_word.hpp"
#include "eaveshed/measured/contact_status.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kCallExamples = 5;
constexpr std::size_t kCallIdBytes = 60;

// The number that an id is, however many zeros stand before it or behind its point; empty for what is none: digits
// alone, so that nothing is lost of a long one.
std::string number_of(const std::string& id) {
    constexpr std::string_view kDigits = "0123456789";
    const auto point = id.find('.');
    const std::string whole = id.substr(0, point);
    if (whole.empty() || whole.find_first_not_of(kDigits) != std::string::npos) {
        return {};
    }
    if (point != std::string::npos &&
        (point + 1 == id.size() || id.find_first_not_of('0', point + 1) != std::string::npos)) {
        return {};
    }
    const auto first = whole.find_first_not_of('0');
    return first == std::string::npos ? "0" : whole.substr(first);
}

// The ids of the parcels, each once.
class ParcelIds {
public:
    explicit ParcelIds(const std::vector<std::string>& ids) {
        for (std::size_t position = 0; position < ids.size(); ++position) {
            m_positions[ids[position]].push_back(position);
        }
        for (const auto& [id, positions] : m_positions) {
            if (std::string number = number_of(id); !number.empty()) {
                m_of_number[std::move(number)].add(id);
            }
            if (std::string listed = without_controls(id); listed != id) {
                m_of_listed[std::move(listed)].add(id);
            }
        }
    }

    // Null where no parcel has it.
    [[nodiscard]] const std::string* exact(const std::string& id) const {
        const auto found = m_positions.find(id);
        return found == m_positions.end() ? nullptr : &found->first;
    }
    // As call lists write an id that holds control characters. Null where that is none, or one of several.
    [[nodiscard]] const std::string* as_listed(const std::string& id) const { return only_one(m_of_listed, id); }
    // Null where it is no number, or that of no parcel or of several.
    [[nodiscard]] const std::string* by_number(const std::string& id) const {
        return only_one(m_of_number, number_of(id));
    }
    [[nodiscard]] const std::vector<std::size_t>& positions(const std::string& id) const { return m_positions.at(id); }

private:
    // Ids that another writing has in common.
    struct Alike {
        std::size_t count = 0;
        const std::string* last = nullptr;

        void add(const std::string& id) {
            ++count;
            last = &id;
        }
    };
    using AlikeBy = std::unordered_map<std::string, Alike>;

    [[nodiscard]] static const std::string* only_one(const AlikeBy& alike, const std::string& writing) {
        const auto found = alike.find(writing);
        return found == alike.end() || found->second.count > 1 ? nullptr : found->second.last;
    }

    std::unordered_map<std::string, std::vector<std::size_t>> m_positions;
    AlikeBy m_of_number;
    AlikeBy m_of_listed;
};

std::string call_row_text(const CallEntry& entry) {
    return fmt::format("'{}' (row {})", printable(entry.parcel_id, kCallIdBytes), entry.row_number);
}

// What of the list is worth a word.
struct Told {
    std::vector<std::string> as_numbers;
    std::vector<std::string> for_no_parcel;
    std::vector<std::string> disagreeing;
    UnknownStatuses unknown;

    void tell(const CallTable& calls, Findings& findings) const;
};

void Told::tell(const CallTable& calls, Findings& findings) const {
    const std::string& where = calls.info.where;
    if (!as_numbers.empty()) {
        findings.warn({where,
                       fmt::format("{} whose id is that of a parcel as a number only: {}",
                                   counted(as_numbers.size(), "row"), listed(as_numbers, kCallExamples)),
                       "ids as the parcels have them",
                       "they are taken for those parcels; give the column of ids the format text in the spreadsheet"});
    }
    if (!for_no_parcel.empty() || calls.without_id > 0) {
        std::string found = fmt::format("{} for no parcel: {}", counted(for_no_parcel.size(), "row"),
                                        listed(for_no_parcel, kCallExamples));
        if (calls.without_id > 0) {
            found += fmt::format("; {} with a status and without an id", counted(calls.without_id, "row"));
        }
        findings.warn({where, found, "ids of the parcels", "correct the ids; nothing is known from these rows"});
    }
    if (!disagreeing.empty()) {
        findings.warn({where,
                       fmt::format("{} with several rows that disagree: {}", counted(disagreeing.size(), "parcel"),
                                   listed(disagreeing, kCallExamples)),
                       "one status for a parcel",
                       "the later dated row holds; without two dates a no, else the lower one in the list; remove the "
                       "others"});
    }
    if (calls.dates_not_understood > 0) {
        findings.warn({where, counted(calls.dates_not_understood, "date") + " that are not understood",
                       "days as 2026-11-25 or 25.11.2026, or dates that the spreadsheet knows as such",
                       "mend them: of several rows for one parcel they decide which one holds"});
    }
    unknown.tell(where, findings);
}

// Whether the owner wants, or may want, not to be asked.
bool says_no(const CallEntry& entry) {
    const auto status = contact_status_of(entry.status);
    return !status || *status == ContactStatus::declined || *status == ContactStatus::do_not_contact;
}

// A no is not overturned by a row that is not known to be later.
bool is_later(const CallEntry& entry, const CallEntry& before) {
    if (entry.date.empty() || before.date.empty()) {
        return says_no(entry) || !says_no(before);
    }
    return entry.date >= before.date;
}

}  // namespace

std::vector<std::optional<ContactStatus>> match_calls(const CallTable& calls,
                                                      const std::vector<std::string>& parcel_ids, Findings& findings) {
    const ParcelIds ids(parcel_ids);
    Told told;
    std::map<std::string, std::pair<const CallEntry*, bool>> holds;  // by id, in order; whether others disagree
    for (const CallEntry& entry : calls.entries) {
        const std::string* id = ids.exact(entry.parcel_id);
        id = id != nullptr ? id : ids.as_listed(entry.parcel_id);
        if (id == nullptr) {
            id = ids.by_number(entry.parcel_id);
            (id != nullptr ? told.as_numbers : told.for_no_parcel).push_back(call_row_text(entry));
        }
        if (id == nullptr) {
            continue;
        }
        auto& [held, disagree] = holds.try_emplace(*id, &entry, false).first->second;
        const auto says = contact_status_of(entry.status);
        if (!disagree && (says != contact_status_of(held->status) || (!says && entry.status != held->status))) {
            disagree = true;
            told.disagreeing.push_back(fmt::format("'{}'", printable(*id, kCallIdBytes)));
        }
        held = is_later(entry, *held) ? &entry : held;
    }
    std::vector<std::optional<ContactStatus>> statuses(parcel_ids.size());
    for (const auto& [id, held] : holds) {
        const auto known = contact_status_of(held.first->status);
        if (!known) {
            told.unknown.add(held.first->status, id);
        }
        for (const std::size_t position : ids.positions(id)) {
            statuses[position] = known.value_or(ContactStatus::do_not_contact);
        }
    }
    told.tell(calls, findings);
    return statuses;
}

std::string calls_line(const CallTable& calls) {
    return fmt::format("{}, {} with a status, sheet or layer {}", counted(calls.rows, "row"), calls.entries.size(),
                       printable(calls.info.layer));
}

}  // namespace eaveshed
