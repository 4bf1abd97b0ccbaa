// Project files (TOML) read into Settings.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Reads the text of a project file. Every fault of the file becomes an error of `findings`, with file, line, column and
// key, what was found, what was wanted and what to do: unknown keys, wrong kinds, values out of range, required
// settings that are missing, settings that contradict each other. Notes name settings that have no effect. None when
// there is an error. `path_for_messages` is how the user named the file; no file is opened.
[[nodiscard]] std::optional<Settings> read_settings(std::string_view toml_text, const std::string& path_for_messages,
                                                    Findings& findings);

// The same for callers that want no findings: throws Error(Fault::input) that lists every error of the file.
[[nodiscard]] Settings load_settings(std::string_view toml_text, const std::string& path_for_messages);

// One Error(Fault::input) for all errors among the findings: the error itself when it is the only one, else a list
// under `path_for_messages`. To be called when there is at least one.
[[nodiscard]] Error error_of(const Findings& findings, const std::string& path_for_messages);

// A path as the project file gives it, made relative to the project file's folder; absolute paths stay.
[[nodiscard]] std::string resolved_path(const std::string& project_file, const std::string& given);

}  // namespace eaveshed
