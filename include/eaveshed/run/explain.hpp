// One row of a finished file, computed again from the inputs and held against what is stored.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/run/document.hpp"
#include "eaveshed/run/progress.hpp"
#include "eaveshed/run/recorded_run.hpp"
#include "eaveshed/tile/explain.hpp"

namespace eaveshed::run {

struct ExplainRequest {
    std::string file;     // a GeoPackage that was screened
    std::string roof_id;  // of a row of its layer `roofs`
    std::string project;  // a project file, beside which the inputs lie; empty: they lie beside the GeoPackage
};

// A stored value that is not what the inputs give now. A row that only one side has: column "(row)".
struct Difference {
    std::string table;
    std::string column;
    std::string unit;
    Value stored;
    Value recomputed;
};

struct ExplainedRoof {
    std::string roof_id;
    std::optional<std::string> parcel_id;
    RecordedRun run;
    Timeline timeline;  // of the rain
    RoofInput roof;
    std::optional<ParcelInput> parcel;
    RoofExplanation explanation;
    std::size_t values_compared = 0;
    std::vector<Difference> differences;
};

// Settings and inputs are those that the file's run record names. Input errors: a file that this program did not write,
// an id that no row or several rows have, inputs that are not there. Warnings among `findings`: inputs that are not
// what they were, a project whose settings are others, another version of the program. Writes nothing beside the file.
[[nodiscard]] ExplainedRoof explain(const ExplainRequest& request, Findings& findings, Progress& progress);

// Equal texts and whole numbers, and real numbers to 1e-9 of the larger one, or of 1: the last digits hang on the
// machine.
[[nodiscard]] bool agree(const Value& stored, const Value& recomputed);

// Everything in words and numbers, for text and JSON alike.
[[nodiscard]] Document explanation_document(const ExplainedRoof& roof);

// What a differing row means, for the message: the inputs that changed, or that none did.
[[nodiscard]] Trouble trouble_of(const ExplainedRoof& roof);

}  // namespace eaveshed::run
