// What settings ask of each other. Private to the module.
#pragma once

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"
#include "given.hpp"

namespace eaveshed {

// Errors for required settings that are not given.
void check_required(const Settings& settings, const Given& given, Findings& findings);

// Errors for settings that contradict each other. Every single value is in its range.
void check_rules(const Settings& settings, const Given& given, Findings& findings);

// Notes and warnings for settings that are given and have no effect.
void note_without_effect(const Settings& settings, const Given& given, Findings& findings);

}  // namespace eaveshed
