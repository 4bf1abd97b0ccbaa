#include "plan_project.hpp"

#include <filesystem>

#include "eaveshed/core/error.hpp"
#include "eaveshed/project/from_rows.hpp"
#include "eaveshed/project/read_settings.hpp"
#include "steps.hpp"

namespace eaveshed {

namespace fs = std::filesystem;

Project project_of_plan(const PlanInParts& plan, const std::string& named, Findings& findings) {
    const std::string where = (plan.folder / kManifestName).string();
    Findings faults;
    const auto settings = settings_from_rows(settings_in(plan.manifest.identity), where, faults);
    if (!settings) {
        throw error_of(faults, where);
    }
    accept_as_told(*settings, findings);
    std::error_code fault;
    keep_addresses_of(named.empty() ? plan.facts().project_file : named);
    if (named.empty()) {
        return project_of(*settings, plan.facts().project_file);
    }
    if (!fs::exists(named, fault)) {
        throw input_error("--project " + named, "no such file or folder",
                          "the project file that was split, or its folder", "check the path");
    }
    return project_of(*settings, fs::is_directory(named, fault) ? (fs::path(named) / "").string() : named);
}

std::vector<InputFile> require_inputs_of_plan(const PlanInParts& plan, const Project& project, const Inputs& inputs,
                                              Digest digest) {
    std::vector<InputFile> files = fingerprints(project, inputs, digest);
    const Identity& then = plan.manifest.identity;
    require_same(then, with_digests_of(then, identity_of(project, files)), plan.folder.string(),
                 "give back the inputs as they were, or split again");
    return files;
}

}  // namespace eaveshed
