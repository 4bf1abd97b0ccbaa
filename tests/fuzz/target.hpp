// Targets that libFuzzer feeds with bytes, and that the ordinary tests feed with all of testdata/fuzz. A target gives
// the bytes to one door of the program and asks more than that nothing breaks: what it asks stands in its file.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>

namespace eaveshed::fuzz {

using Bytes = std::span<const unsigned char>;

void fuzz_calls(Bytes bytes);      // a call list filled in
void fuzz_condition(Bytes bytes);  // conditions on fields
void fuzz_gauges(Bytes bytes);     // tables of stations
void fuzz_manifest(Bytes bytes);   // plan.json of a folder in parts
void fuzz_measured(Bytes bytes);   // the table of measured values
void fuzz_predictor(Bytes bytes);  // the floating-point predictor of TIFF
void fuzz_project(Bytes bytes);    // project files
void fuzz_records(Bytes bytes);    // records of the plan, packed rows
void fuzz_result(Bytes bytes);     // a finished GeoPackage
void fuzz_rows(Bytes bytes);       // files of rows
void fuzz_shapefile(Bytes bytes);  // layers of features in the parts of a Shapefile
void fuzz_text(Bytes bytes);       // dates, units and numbers
void fuzz_tiff(Bytes bytes);       // blocks of TIFF files
void fuzz_vector(Bytes bytes);     // layers of features
void fuzz_vrt(Bytes bytes);        // VRT files
void fuzz_wkb(Bytes bytes);        // geometries

struct Target {
    std::string_view name;  // also of its folder in testdata/fuzz
    void (*run)(Bytes bytes);
};
[[nodiscard]] std::span<const Target> targets();

// What a target asks does not hold. Caught by nobody: libFuzzer takes it for a crash.
class Broken : public std::logic_error {
    using std::logic_error::logic_error;
};
void require(bool holds, const std::string& what);

// Whether `work` runs to its end. An error of ours must say what was found and where, and be no internal one; anything
// else that is thrown goes on.
bool accepts(const std::function<void()>& work);

[[nodiscard]] inline std::string_view text_of(Bytes bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}
[[nodiscard]] inline Bytes bytes_of(std::string_view text) {
    return {reinterpret_cast<const unsigned char*>(text.data()), text.size()};
}

// Of the process, for targets whose door is a file: writes it and gives its path.
[[nodiscard]] std::string scratch_file(const std::string& name, Bytes bytes);
[[nodiscard]] const std::string& scratch_folder();

// Takes the byte at the front, 0 where there is none.
[[nodiscard]] unsigned char take_byte(Bytes& bytes);

}  // namespace eaveshed::fuzz
