// The rows of the table `run_record`: what was run, on what, and what came out, as keys and values.
#pragma once

#include <string>

#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct RunRecordRow {
    static constexpr Table kTable{
        .name = "run_record",
        .title = "Run record",
        .meaning = "Program, settings, inputs, counts and warnings of the run that made this file.",
        .shape = LayerShape::none,
        .filled_by = FilledBy::run,
        .rows =
            "No geometry. Keys begin with `program.`, `library.`, `setting.` (every setting after defaults), "
            "`input.NNN.` (setting, path as given, size, modification time and SHA-256 of its size and its first and "
            "last MiB; of the whole file with `--strict`), `crs.`, `rain.` (dates; depths and the forbearance months' "
            "share "
            "of a mean year in the middle of the basin), `terrain.` (a cell's longer side; the elevations' error as "
            "given or taken from it), `count.`, "
            "`headline.PART.` (all that storage could replace each season, in parts that add up to `headline.all.`: "
            "`number` of parcels, or of roofs without parcels, `forbearance_m3`, and of it what the creek feels, "
            "`felt_m3` and `felt_lps`; candidates count with what they add, and what storage there already replaces is "
            "`stored_already`; `roofs_in_no_parcel` stands beside the whole), `sum.` (over computed roofs the harvest; "
            "over parcels and roofs in no parcel `forbearance_m3`, and how much of it rests on rows with each flag), "
            "`override_not_applied.NNN` (rows of measured values that were not applied) and `warning.NNN`. A value "
            "that is null is `not known`. Nothing in it changes between two equal runs."};

    std::string key;
    std::string value;

    static constexpr auto list_columns(auto&& use) {
        return use(column(&RunRecordRow::key,
                          {"key", "", "Key", "What the value is: program, settings, inputs, counts or warnings."}),
                   column(&RunRecordRow::value, {"value", "", "Value", "The value as text, in SI units."}));
    }
};

}  // namespace eaveshed
