// One parcel of a finished file evaluated again.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/revisit/revisit.hpp"

namespace eaveshed {

struct RevisitedParcel {
    std::string parcel_id;
    std::vector<std::string> roof_ids;  // as explanation.roofs
    // The parcel's row stands in explanation.result, named and scored; tier, rank and stability are the stored ones,
    // because they hang on all parcels.
    ParcelExplanation explanation;
    ParcelRow ranked;               // the same with the volumes by which it is ranked
    std::optional<TileInput> tile;  // its site; none for a parcel without roofs
    ResultRow stored;               // its row in the file
};

// Input errors for an id that no row or several rows have, and for a parcel that is no longer among the inputs.
[[nodiscard]] RevisitedParcel revisit_parcel(Revisit& run, const ResultReader& result, const std::string& parcel_id);

}  // namespace eaveshed
