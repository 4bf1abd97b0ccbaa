// Whom to call, in which order, with what to say: the parcels of a finished file ranked again, without a screening.
#pragma once

#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/crs/map_place.hpp"
#include "eaveshed/offer/asked_reaches.hpp"
#include "eaveshed/offer/list_files.hpp"
#include "eaveshed/offer/parcels_of_file.hpp"
#include "eaveshed/record/parcel_row.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/sheet/sheet.hpp"

namespace eaveshed {

struct RankRequest {
    std::string file;                                     // the GeoPackage
    std::string project;                                  // as recorded_project() has it
    std::string where;                                    // SQL expression over the columns of `parcels`; empty: all
    std::vector<std::pair<std::string, double>> weights;  // by name, instead of the file's own
    int top = 0;                                          // rows of the list; 0: all
    int draws = -1;                                       // instead of the file's own; 0: no stability
    std::string scenario = {};                            // rank.scenario instead of the file's own; empty: the file's
    unsigned threads = 1;
    AskedReaches reaches = {};  // only parcels whose offers enter one of these
    ListFiles lists;            // where some are wanted, the carry fields of the parcels source are read
};

struct CallList {
    Settings settings;               // of the file, with the weights asked for
    std::vector<ParcelRow> parcels;  // candidates, the best first, with the volumes by which they are ranked
    // Parcels of the file about whose owners something is known and that are not among them, in the file's order: a
    // list that is read back keeps what is known only of the parcels that it names.
    std::vector<ParcelRow> kept{};
    std::size_t candidates = 0;  // before the list was cut to `top`
    std::size_t left_out = 0;    // parcels of the file that are no candidates, or not asked for
    ContactFields contacts;      // of each of them, where lists were asked for
    // Where the pads of parcels are, by parcel id; where lists were asked for and the file's CRS has a way to degrees.
    std::unordered_map<std::string, Degrees> pads{};
    FileReaches streams{};  // of the file; the list has columns of them where there are any
    std::string asked{};    // "at reach 12 and upstream"; empty: the whole basin
};

// Names of the weights: stream_gain, low_flow_share, gravity, cost, reliability.
[[nodiscard]] std::vector<std::string> weight_names();

// Throws an input error for a file that is not ours, an unknown weight, an expression that is not understood, or
// reaches that are not there (ReachFilter).
[[nodiscard]] CallList call_list(const RankRequest& request, Findings& findings);

// The list with its contact fields, for a file that leaves the GIS.
[[nodiscard]] Sheet call_table(const CallList& list);

// The first rows as people read them on a terminal: without contact fields.
[[nodiscard]] std::string call_text(const CallList& list, std::size_t rows);

}  // namespace eaveshed
