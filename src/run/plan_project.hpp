// The project of a plan in parts, and its inputs held against it. Private to the module.
#pragma once

#include <string>

#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/parts/plan_folder.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

// Settings of the plan, with paths from the folder of the project file it was made from, or of `named`, a project file
// or a folder.
[[nodiscard]] Project project_of_plan(const PlanInParts& plan, const std::string& named, Findings& findings);

// The inputs' files, which have to be the plan's, as has the program: else an input error that shows what differs.
std::vector<InputFile> require_inputs_of_plan(const PlanInParts& plan, const Project& project, const Inputs& inputs,
                                              Digest digest);

}  // namespace eaveshed
