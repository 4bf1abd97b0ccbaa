// One row of a finished file, computed again from the inputs and held against what is stored.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/crs/map_place.hpp"
#include "eaveshed/document/document.hpp"
#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/rain/stations.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/site/explain_roof.hpp"

namespace eaveshed {

struct ExplainRequest {
    std::string file;            // a GeoPackage that was screened
    std::string roof_id;         // of a row of its layer `roofs`
    std::string project;         // a project file, beside which the inputs lie; empty: they lie beside the GeoPackage
    std::string parcel_id = {};  // of a row of its layer `parcels`, for explain_parcel
};

// A stored value that is not what the inputs give now. A row that only one side has: column "(row)".
struct Difference {
    std::string table;
    std::string column;
    std::string unit;
    Value stored;
    Value recomputed;
};

// A gauge that a roof may draw on.
struct GaugeOfRoof {
    std::string id;
    StationUse use;
};

// What the explanations of a roof and of a parcel have in common.
struct Explained {
    std::string subject;  // "roof 'B00311'", for messages
    RecordedRun run;
    std::string output_crs;   // name of the CRS of the places
    bool in_degrees = false;  // are its coordinates degrees
    std::size_t values_compared = 0;
    std::vector<Difference> differences;
};

struct ExplainedRoof : Explained {
    std::string roof_id;
    std::optional<std::string> parcel_id;
    Timeline timeline;                            // of the rain
    std::vector<GaugeOfRoof> rain_gauges;         // nearest first; empty where a grid tells the rain
    std::vector<GaugeOfRoof> temperature_gauges;  // likewise
    TileRoof roof;
    std::optional<TileParcel> parcel;
    RoofExplanation explanation;
    std::optional<MapPlace> roof_place;  // its interior point
    std::optional<MapPlace> pad_place;
    std::optional<MapPlace> use_place;
};

struct ExplainedParcel : Explained {
    std::string parcel_id;
    std::vector<std::string> roof_ids;  // as explanation.roofs
    // The parcel's row stands in explanation.result, named and scored; tier, rank and stability are the stored ones,
    // because they hang on all parcels.
    ParcelExplanation explanation;
    ParcelRow ranked;                                  // the same with the volumes by which it is ranked
    std::vector<std::optional<MapPlace>> roof_places;  // as explanation.roofs: their interior points
    std::optional<MapPlace> pad_place;
    std::optional<MapPlace> use_place;  // of the pad's own roof
};

// Settings and inputs are those that the file's run record names. Input errors: a file that this program did not write,
// an id that no row or several rows have, inputs that are not there. Warnings among `findings`: inputs that are not
// what they were, a project whose settings are others, another version of the program. Writes nothing beside the file.
[[nodiscard]] ExplainedRoof explain(const ExplainRequest& request, Findings& findings, Progress& progress);
[[nodiscard]] ExplainedParcel explain_parcel(const ExplainRequest& request, Findings& findings, Progress& progress);

// Equal texts and whole numbers, and real numbers to 1e-9 of the larger one, or of 1: the last digits hang on the
// machine.
[[nodiscard]] bool agree(const Value& stored, const Value& recomputed);

// Everything in words and numbers, for text and JSON alike: as JSON in SI, as text in the units that the run's settings
// ask for. What is stored and recomputed stands beside each other as the file has it.
[[nodiscard]] Document explanation_document(const ExplainedRoof& roof, OutputUnits units = OutputUnits::si);
[[nodiscard]] Document explanation_document(const ExplainedParcel& parcel, OutputUnits units = OutputUnits::si);

// What a differing row means, for the message: the inputs that changed, or that none did.
[[nodiscard]] Trouble trouble_of(const Explained& explained);

}  // namespace eaveshed
