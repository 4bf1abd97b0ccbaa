// What a finished file answers at a glance: the sums of its run record, those of its streams, and the first rows of its
// ranking. The page that `screen` ends with and that `summary` prints is made from nothing else.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/headline.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/summary/stream_sums.hpp"

namespace eaveshed {

// The rows of a run record by their keys.
class RecordFacts {
public:
    // `file`: for messages.
    RecordFacts(std::string file, std::vector<std::pair<std::string, std::string>> rows);

    // Empty for a key that is not there.
    [[nodiscard]] std::string text(const std::string& key) const;
    // None where the record says that it is not known. A key that is not there, or no number, is an input error: the
    // file was made by another version, or was edited.
    [[nodiscard]] std::optional<double> number(const std::string& key) const;
    [[nodiscard]] std::uint64_t count(const std::string& key) const;
    template <HasTerms Enum>
    [[nodiscard]] PerTerm<Enum, std::uint64_t> counts(const std::string& prefix) const {
        PerTerm<Enum, std::uint64_t> found{};
        for (std::size_t i = 0; i < found.size(); ++i) {
            found[i] = count(prefix + std::string(terms_of<Enum>()[i].name));
        }
        return found;
    }
    [[nodiscard]] const std::string& file() const { return m_file; }
    // How many keys begin so.
    [[nodiscard]] std::size_t count_of_keys(std::string_view prefix) const;

private:
    std::string m_file;
    std::map<std::string, std::string, std::less<>> m_rows;
};

// How many rows of the ranking the page shows.
inline constexpr std::size_t kShownRows = 10;

struct SummaryFacts {
    RecordFacts record;
    Settings settings;               // of the run
    std::vector<ParcelRow> parcels;  // the first of the ranking
    std::vector<RoofRow> roofs;      // where there are no parcels: most stream gain, then most forbearance, first
    StreamSums streams{};            // empty without streams and sub-basins

    [[nodiscard]] const std::string& file() const { return record.file(); }
    // Whether the headline counts parcels; else single roofs.
    [[nodiscard]] bool of_parcels() const { return record.text("headline.of") == "parcels"; }
    [[nodiscard]] HeadlineSum headline(std::string_view part) const;
    // Whether what the creek feels of a part ("all" for the whole) is known: not where no water source is, and not of
    // those whose source is not.
    [[nodiscard]] bool felt_is_known(std::string_view part) const;
    // Of computed roofs, and of what storage could replace, the shares that rest on rows with a flag; none where there
    // is nothing to share.
    [[nodiscard]] std::optional<double> share_of_roofs(Flag flag) const;
    [[nodiscard]] std::optional<double> share_of_volume(Flag flag) const;
    // Whether the volumes are means, because nothing is known of dry winters.
    [[nodiscard]] bool only_means() const;
};

// Throws an input error for what no screening of this version wrote.
[[nodiscard]] SummaryFacts read_summary(const ResultReader& result, const std::string& file);

}  // namespace eaveshed
