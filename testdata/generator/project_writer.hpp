#pragma once
#include "climate.hpp"

namespace demo {

// basin.toml: a project file for the basin just written, with comments that explain each part.
void write_project(const BasinPlan& plan, const Climate& climate);

}  // namespace demo
