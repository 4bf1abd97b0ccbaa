// The basin's climate in the form that roofs are computed from.
#pragma once

#include "eaveshed/core/season.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

// Turns a record of days, as read, into spells: `rain` keeps the days on which it may have rained in some cell and
// `timeline` the condensed steps. Every roof's figures stay what they were, to rounding. Once for a climate of days.
void condense(ClimateInput& climate, const Season& season);

}  // namespace eaveshed
