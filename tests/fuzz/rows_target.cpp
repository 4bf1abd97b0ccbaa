// Files of rows. The rows of one roof and one parcel are the given bytes, under a checksum that fits: what a reader
// trusts from then on. They unpack, and every column has a value that prints and packs again. Then the file as a whole
// is the given bytes: finished it is refused or complete, taken up it is whole where its checksums say so.
#include <algorithm>
#include <filesystem>
#include <utility>
#include <vector>

#include "eaveshed/files/file.hpp"
#include "eaveshed/files/fingerprint.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/store/rows_file.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

constexpr std::size_t kDigestChars = 64;

const SpoolFormat& format() {
    static const SpoolFormat one{"plan", 1, 1};
    return one;
}

RowsOf one_tile() {
    return {0, {{1, 1}}};
}

template <typename Row>
void print(const Row& row) {
    std::vector<Value> values;
    values_of(row, values);
}

void print_all(const RoofRows& rows) {
    print(rows.roof);
    rows.use_point ? print(*rows.use_point) : void();
    rows.pad ? print(*rows.pad) : void();
    rows.fill ? print(*rows.fill) : void();
    for (const CurveRow& row : rows.curve) {
        print(row);
    }
    for (const ScenarioRow& row : rows.scenarios) {
        print(row);
    }
}

void print_all(const ParcelRows& rows) {
    print(rows.parcel);
    rows.pad ? print(*rows.pad) : void();
    for (const ParcelOptionRow& row : rows.options) {
        print(row);
    }
    require(rows.questions.size() <= 3 && rows.options.size() <= format().option_count, "more than was packed");
    for (const QuestionToAsk& question : rows.questions) {
        (void)to_text(question.low.gravity_check.value_or(GravityCheck::yes));
    }
}

// The file that a run writes, with these bytes for its rows.
std::string file_of_rows(Bytes bytes) {
    const std::string path = scratch_file("rows", {});
    std::filesystem::remove(path);
    std::uint64_t begin = 0;
    {
        RowsFile rows(path, format(), one_tile(), RowsFile::Begin::anew);
        begin = rows.roofs().begin;
    }
    const std::size_t width = packed_width(format()) + packed_parcel_width(format());
    std::vector<unsigned char> packed(bytes.begin(),
                                      bytes.begin() + static_cast<std::ptrdiff_t>(std::min(bytes.size(), width)));
    packed.resize(width);
    const std::string digest = sha256_hex(packed);
    File file(path, File::Mode::update);
    file.write_at(begin, packed);
    file.write_at(begin - kDigestChars, bytes_of(digest));
    return path;
}

void read_rows(Bytes bytes) {
    const std::string path = file_of_rows(bytes);
    accepts([&] {
        std::vector<RowsFile> files;
        files.push_back(RowsFile::finished(path, format(), one_tile()));
        GatheredRows rows(format(), {1, 1}, std::move(files));
        require(rows.complete(), "rows that are there and are not");
        print_all(rows.roof(0));
        if (const auto parcel = rows.parcel(0)) {
            print_all(*parcel);
        }
    });
}

void read_file(Bytes bytes) {
    const std::string path = scratch_file("rows", bytes);
    accepts([&] { require(RowsFile::finished(path, format(), one_tile()).complete(), "a finished file with gaps"); });
    accepts([&] {
        const RowsFile taken(path, format(), one_tile(), RowsFile::Begin::taken_up);
        require(taken.holds(0) == taken.complete(), "one tile, whole and not");
    });
}

}  // namespace

void fuzz_rows(Bytes bytes) {
    if (take_byte(bytes) % 4 == 0) {
        read_file(bytes);
    } else {
        read_rows(bytes);
    }
}

}  // namespace eaveshed::fuzz
