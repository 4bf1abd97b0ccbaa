// The layers of reaches and sub-basins. Private to the module.
#pragma once

#include "eaveshed/publish/gather.hpp"
#include "eaveshed/publish/stream_accounts.hpp"
#include "row_maker.hpp"

namespace eaveshed {

// Their rows, with lines and outlines brought to the output's CRS.
void add_stream_layers(const GatherJob& job, const StreamAccounts& streams, const RowMaker& maker, RowBatch& batch);

}  // namespace eaveshed
