// Why two screenings differ, as far as their files tell: program, settings, inputs, measured values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/closed_list.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// None in a file that does not have it.
struct NamedChange {
    std::string name;
    std::optional<std::string> before;
    std::optional<std::string> after;
};

enum class InputFate : std::uint8_t { content, content_or_strict, renamed, added, removed };
template <>
inline constexpr TermList<5> kTermList<InputFate>{"input_fate",
                                                  "what became of an input file",
                                                  {{
                                                      {"content", "another content"},
                                                      {"content_or_strict",
                                                       "the same size and time, another fingerprint: one of the runs "
                                                       "was strict, which takes it of the whole file, or "
                                                       "the file was changed without a trace"},
                                                      {"renamed", "another path, the same content"},
                                                      {"added", "new"},
                                                      {"removed", "no longer used"},
                                                  }}};

struct InputChange {
    InputFate fate = InputFate::content;
    std::string setting;  // "terrain.elevation"
    std::optional<RecordedInput> before;
    std::optional<RecordedInput> after;
};

// The measured values of one roof or parcel, "eave_height_m=4.25, date=2026-05-01"; empty where a file has none.
struct MeasuredChange {
    bool of_parcel = false;
    std::string id;
    std::string before;
    std::string after;
};

struct Causes {
    std::vector<NamedChange> program;   // its version, then those of the libraries
    std::vector<NamedChange> settings;  // after defaults, without those that name a file
    std::vector<InputChange> inputs;
    std::vector<NamedChange>
        found;  // what the inputs turned out to be: reference systems, rain's years, error of heights
    std::vector<MeasuredChange> measured;

    [[nodiscard]] bool none() const {
        return program.empty() && settings.empty() && inputs.empty() && found.empty() && measured.empty();
    }
};

// From the two run records and the tables of measured values. Where the result was written to is no cause.
[[nodiscard]] Causes causes_of(const ResultReader& before, const ResultReader& after);

}  // namespace eaveshed
