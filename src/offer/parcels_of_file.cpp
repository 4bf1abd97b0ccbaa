#include "eaveshed/offer/parcels_of_file.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <unordered_map>

#include "eaveshed/core/error.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/vector/vector_source.hpp"

namespace eaveshed {

namespace {

// Without what is added beyond the storage already there nobody is a candidate, and the list would be empty in silence:
// such a file was written before these columns were.
void want_added_columns(const std::vector<std::string>& columns, const std::string& file) {
    for (const std::string_view needed : {"added_forbearance_m3", "added_gain_lps"}) {
        if (std::ranges::find(columns, needed) == columns.end()) {
            throw input_error(file, "the layer parcels has no column " + std::string(needed),
                              "a file of this version of the program, which ranks by what a parcel adds",
                              "screen the basin again");
        }
    }
}

}  // namespace

void each_parcel(const ResultReader& result, const std::string& file, const std::string& where,
                 const std::function<void(ParcelRow&&)>& visit) {
    const std::string table(ParcelRow::kTable.name);
    if (result.row_count(table) == 0) {
        throw input_error(file, "no parcels: the basin was screened without a parcels layer",
                          "parcels, since owners are asked parcel by parcel",
                          "give [parcels] source in the project file and screen again; single roofs stand in the layer "
                          "roofs, and `eaveshed explain --roof ID` tells about one");
    }
    const std::vector<std::string> columns = result.columns(table);
    want_added_columns(columns, file);
    const RowReader<ParcelRow> reader(file, columns);
    result.each_row(table, where, "--where", [&](const std::vector<Value>& values) { visit(reader(values)); });
}

ContactFields contact_fields(const Settings& settings, const std::string& file, const std::string& project,
                             const std::vector<std::string>& parcel_ids) {
    ContactFields contacts;
    if (settings.parcels.carry.empty()) {
        return contacts;
    }
    constexpr std::array<std::string_view, 1> kNeeded{"parcels.source"};
    const Project found = recorded_project(settings, file, project, kNeeded);
    const ParcelSettings& source = found.resolved.parcels;
    contacts.file = source.from.source;
    contacts.names = source.carry;
    contacts.entries.assign(parcel_ids.size(), std::vector<std::string>(source.carry.size()));
    std::unordered_map<std::string, std::vector<std::size_t>> wanted;
    for (std::size_t i = 0; i < parcel_ids.size(); ++i) {
        wanted[parcel_ids[i]].push_back(i);
    }
    std::vector<std::string> fields{source.id};
    fields.insert(fields.end(), source.carry.begin(), source.carry.end());
    Findings told_when_screened;
    auto parcels = VectorSource::open("parcels", source.from, fields, "", told_when_screened);
    Feature feature;
    while (!wanted.empty() && parcels.next(feature)) {
        const auto here = wanted.find(id_of(feature, 0));
        if (here == wanted.end()) {
            continue;
        }
        for (const std::size_t position : here->second) {
            for (std::size_t i = 0; i < contacts.names.size(); ++i) {
                contacts.entries[position][i] = feature.values[i + 1].value_or("");
            }
        }
        wanted.erase(here);
    }
    return contacts;
}

}  // namespace eaveshed
