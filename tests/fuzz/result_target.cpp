// Files that pass for finished ones. Reading gives rows or an error of ours; the streams that are given form a tree,
// settings that are given read back, and the file is as it was.
#include <algorithm>
#include <vector>

#include "eaveshed/files/file.hpp"
#include "eaveshed/result/reaches_of_file.hpp"
#include "eaveshed/result/read_values.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/result/result_reader.hpp"
#include "eaveshed/settings/table.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

template <typename Row>
void read_rows(const ResultReader& result, const std::string& path, const std::string& table) {
    accepts([&] {
        const std::vector<std::string> names = result.columns(table);
        const RowReader<Row> reader(path, names);
        std::size_t rows = 0;
        result.each_row(table, "", "--where", [&](const std::vector<Value>& values) {
            require(values.size() == names.size(), "another number of values than of columns");
            std::vector<Value> again;
            values_of(reader(values), again);
            ++rows;
        });
        require(rows == result.row_count(table), "another number of rows than counted");
    });
}

void read_streams(const ResultReader& result, const std::string& path) {
    accepts([&] {
        const FileReaches reaches = reaches_of_file(result, path);
        require(reaches.numbers.size() == reaches.rows.size(), "a reach that stands twice");
    });
}

void read_settings_back(const ResultReader& result, const std::string& path) {
    accepts([&] { (void)effective_settings(recorded_settings(result, path)); });
    (void)recorded_inputs(result);
}

}  // namespace

void fuzz_result(Bytes bytes) {
    const std::string path = scratch_file("result.gpkg", bytes);
    Findings findings;
    accepts([&] {
        const ResultReader result = open_result(path, findings);
        read_rows<RoofRow>(result, path, "roofs");
        read_rows<ParcelRow>(result, path, "parcels");
        read_rows<ReachRow>(result, path, "reaches");
        read_streams(result, path);
        read_settings_back(result, path);
        accepts([&] { (void)result.points_where("pads", "roof_id", "level", "roof"); });
        accepts([&] { (void)result.layer_crs("roofs"); });
    });
    const File file(path, File::Mode::read);
    std::vector<unsigned char> now(file.size());
    file.read_at(0, now);
    require(std::ranges::equal(now, bytes), "a finished file that was changed by reading it");
}

}  // namespace eaveshed::fuzz
