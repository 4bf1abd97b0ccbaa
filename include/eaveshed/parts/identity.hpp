// Whether two runs are the same job: by what their run records say of program, libraries, settings and inputs
// (publish/run_record.hpp).
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "eaveshed/record/run_record_row.hpp"

namespace eaveshed {

using Identity = std::vector<RunRecordRow>;

// By which the rows of a job are known: of the texts of all its keys and values.
[[nodiscard]] std::string fingerprint_of(const Identity& identity);

// The settings among the rows, named as settings_from_rows (project/from_rows.hpp) takes them.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> settings_in(const Identity& identity);

// `now` with the digests of `then` for inputs of which no digest was taken now.
[[nodiscard]] Identity with_digests_of(const Identity& then, Identity now);

// What of a finished file's run record tells which job it was.
[[nodiscard]] Identity identity_in(const std::vector<std::pair<std::string, std::string>>& record);

// "siting.max_fill_m: 60 then, 80 now": what differs, settings and inputs by their names, in the order of `now`; empty
// for equal ones. Texts are printable.
[[nodiscard]] std::vector<std::string> differences(const Identity& then, const Identity& now);

// Throws an input error that shows what differs. `where`: what belongs to another job; `remedy`: what to do then.
void require_same(const Identity& then, const Identity& now, const std::string& where, const std::string& remedy);

}  // namespace eaveshed
