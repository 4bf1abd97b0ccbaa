// The sizes of storage that could stand at a parcel's pad.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

// Whether an option could stand there, and if not, why not.
enum class SizeOutcome : std::uint8_t {
    stands,
    no_place,  // a rule of the place removes it from the cell
    stage,     // a worse stage than that of the parcel's own storage
    roof,      // one of the connected roofs would not fill it
};

// One option of the catalogue on the very cell of the parcel's pad.
struct SizeAtPad {
    std::size_t option = 0;  // position in TileRules::options
    SizeOutcome outcome = SizeOutcome::stands;
    std::optional<Pad> pad;           // the better of its arrangements, where no rule removes it
    std::optional<PadReason> reason;  // of no_place: the rule
    std::optional<std::size_t> roof;  // of roof: the first, by its position among the parcel's roofs
};

}  // namespace eaveshed
