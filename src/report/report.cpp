#include "eaveshed/report/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/letter/letters.hpp"
#include "eaveshed/offer/parcels_of_file.hpp"
#include "eaveshed/page/report_folder.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/report/public_page.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/words/wording.hpp"
#include "file_names.hpp"
#include "property_pages.hpp"

namespace eaveshed {

namespace {

constexpr double kMapPixelsPerMm = 4.0;

void require_words(const ReportRequest& request) {
    const bool chosen = !request.parcels.empty() || request.top > 0;
    if (request.open_to_all && (chosen || !request.letter.empty())) {
        throw input_error("--public", "--parcel, --top or --letter beside it", "sums alone",
                          "leave them out, or make a second report without --public");
    }
    if (!request.letter.empty() && !chosen) {
        throw input_error("--letter", "nobody to write to", "--parcel ID or --top N", "say who gets a letter");
    }
}

struct BasinGround {
    BasinShapes shapes;
    std::optional<MapFrame> frame;  // none where nothing has a shape
};

BasinGround ground_of(const ReportRequest& request, const BasinRows& rows, Findings& findings) {
    BasinGround ground{read_shapes(request.file, rows), std::nullopt};
    const Box extent = extent_of(rows, ground.shapes);
    if (!extent.empty()) {
        ground.frame = basin_frame(extent, ground.shapes.crs);
        read_ground(ground.shapes, rows, request.project, ground.frame->shown(),
                    ground.frame->metres_per_mm() / kMapPixelsPerMm, findings);
    }
    return ground;
}

std::string first_page(const ReportRequest& request, const ResultReader& result, const BasinRows& rows,
                       const std::vector<SheetLink>& sheets, Findings& findings) {
    const BasinGround ground = ground_of(request, rows, findings);
    if (request.open_to_all) {
        return public_page(rows, ground.shapes);
    }
    const std::string map = ground.frame ? basin_map(rows, ground.shapes, *ground.frame) : std::string();
    return basin_page(rows, map, ground.shapes.left_out, recorded_inputs(result), sheets);
}

// The chosen parcels: those named, in their order, then the first of the ranking that were not. One without an id is
// left out with a warning: it stops no other.
std::vector<std::string> chosen_ids(const ReportRequest& request, const BasinRows& rows, Findings& findings) {
    std::vector<std::string> ids;
    std::vector<std::string> nameless;
    std::set<std::string> seen;
    const auto choose = [&](const std::string& id) {
        if (seen.insert(id).second) {
            ids.push_back(id);
        }
    };
    for (const std::string& id : request.parcels) {
        if (std::ranges::find(rows.places, id, &PlaceRow::id) == rows.places.end()) {
            std::vector<std::string> known;
            std::ranges::transform(rows.places, std::back_inserter(known), &PlaceRow::id);
            throw input_error(request.file, "no parcel \"" + printable(id) + "\"", "a parcel of the file",
                              did_you_mean(id, known, "`eaveshed rank` lists them"));
        }
        choose(id);
    }
    for (const PlaceRow* const place : rows.can_be_asked()) {
        if (!place->rank || *place->rank > request.top) {
            continue;
        }
        if (place->id.empty()) {
            nameless.push_back(std::to_string(*place->rank));
        } else {
            choose(place->id);
        }
    }
    if (!nameless.empty()) {
        findings.warn({request.file, "table parcels: no parcel_id in the rows of rank " + listed(nameless),
                       "an id for each parcel", "these get no sheet and no letter; mend the ids and screen again"});
    }
    return ids;
}

std::vector<ParcelRow> rows_of(const ResultReader& result, const std::vector<std::string>& ids) {
    std::vector<ParcelRow> parcels;
    const std::string table(ParcelRow::kTable.name);
    for (const std::string& id : ids) {
        for (const ResultRow& row : result.rows_where(table, std::string(column_name(&ParcelRow::parcel_id)), id, 1)) {
            parcels.push_back(parcel_from(row));
        }
    }
    return parcels;
}

std::string text_of_file(const std::string& path) {
    constexpr std::uintmax_t kMost = 1 << 20;
    std::error_code fault;
    if (!std::filesystem::is_regular_file(path, fault) || std::filesystem::file_size(path, fault) > kMost) {
        throw input_error("--letter " + printable(path), "no file of that name, or none of at most 1 MiB",
                          "a text file", "check the path");
    }
    const File file(path, File::Mode::read);
    std::vector<unsigned char> bytes(file.size());
    file.read_at(0, bytes);
    return {bytes.begin(), bytes.end()};
}

// All letters are made before the first is written.
std::size_t write_letters(const ReportRequest& request, const ResultReader& result, const BasinRows& rows,
                          const std::vector<std::string>& chosen, ReportFolder& folder) {
    if (!rows.facts.of_parcels()) {
        throw input_error(request.file, "no parcels: the basin was screened without a parcels layer",
                          "parcels, since letters go to owners", "give [parcels] source and screen again");
    }
    std::vector<std::string> known = rows.facts.settings.parcels.carry;
    std::ranges::transform(letter_fields(), std::back_inserter(known), &LetterField::name);
    const LetterTemplate letter(text_of_file(request.letter), "--letter " + printable(request.letter), known);
    const std::vector<ParcelRow> parcels = rows_of(result, chosen);
    std::vector<std::string> ids;
    std::ranges::transform(parcels, std::back_inserter(ids), &ParcelRow::parcel_id);
    const ContactFields contacts = contact_fields(rows.facts.settings, request.file, request.project, ids);
    ParcelFileNames names("letters", ".txt");
    for (std::size_t i = 0; i < parcels.size(); ++i) {
        stop_if_requested();
        const std::vector<std::string> entries =
            contacts.names.empty() ? std::vector<std::string>() : contacts.entries[i];
        folder.write(names.next(parcels[i].parcel_id),
                     letter.filled(letter_values(rows.facts, parcels[i], contacts.names, entries)), true);
    }
    return parcels.size();
}

}  // namespace

ReportDone write_report(const ReportRequest& request, Findings& findings) {
    require_words(request);
    const ResultReader result = open_result(request.file, findings);
    static_cast<void>(result.columns(std::string(PadRow::kTable.name)));  // drawn by a reader of inputs, told here
    ReportFolder folder(request.folder, request.overwrite);
    const BasinRows rows = read_basin(result, request.file);
    const std::vector<std::string> chosen = chosen_ids(request, rows, findings);
    ReportDone done;
    if (!request.letter.empty()) {
        done.letters = write_letters(request, result, rows, chosen, folder);
    }
    const std::vector<SheetLink> sheets = write_property_pages(request, result, rows, chosen, folder, findings);
    done.sheets = sheets.size();
    folder.write("index.html", first_page(request, result, rows, sheets, findings));
    folder.publish();
    done.files.push_back((std::filesystem::path(request.folder) / "index.html").string());
    return done;
}

}  // namespace eaveshed
