// The pages of a parcel's explanation. Private to the module.
#pragma once

#include "explain_parts.hpp"

namespace eaveshed {

void add_parcel_water_sections(const ExplainedParcel& parcel, Document& document);  // explain_parcel_water.cpp
void add_parcel_sizes_section(const ExplainedParcel& parcel, Document& document);   // explain_parcel_sizes.cpp
void add_parcel_plan_sections(const ExplainedParcel& parcel, Document& document);   // explain_parcel_plan.cpp

}  // namespace eaveshed
