#include "eaveshed/store/rows_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <thread>
#include <vector>

#include "eaveshed/record/values.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

const SpoolFormat kFormat{"plan a", 2, 2};

RoofRows roof(std::uint64_t ordinal) {
    RoofRows result;
    result.ordinal = ordinal;
    RoofRow& row = result.roof;
    row.status = Status::ok;
    row.flags.add(Flag::overlaps);
    row.flags.add(Flag::unknown_source);
    // A number of its own in every column that a tile fills, so that no two can be mixed up.
    double next = 1.0 + static_cast<double>(ordinal);
    visit_fields(row, [&next]<typename Member>(const Field& field, Member& member) {
        if constexpr (std::is_same_v<Member, std::optional<double>>) {
            if (filled_by<RoofRow>(field) == FilledBy::tile) {
                member = (next += 0.125);
            }
        }
    });
    row.tank_count = 3;
    row.limited_by = LimitedBy::roof;
    row.delivery = Delivery::pumped_feed;
    row.gravity_check = GravityCheck::cannot_tell;
    row.no_pad_reason = PadReason::lift;
    UsePointRow use_point;
    use_point.place = {next, -next};
    use_point.use_elev_m = 12.5;
    use_point.assumed = true;
    result.use_point = use_point;
    PadRow pad;
    pad.place = {next + 1.0, next + 2.0};
    visit_fields(pad, [&next]<typename Member>(const Field&, Member& member) {
        if constexpr (std::is_same_v<Member, std::optional<double>>) {
            member = (next += 0.125);
        }
    });
    pad.level = PadLevel::roof;
    pad.fill = FillClass::likely;
    pad.feed = FeedClass::low;
    pad.delivery = Delivery::low_pressure;
    pad.gravity_check = GravityCheck::no;
    pad.tank_count = 5;
    result.pad = pad;
    const auto pipe = [&next](PadLevel level, PipeKind kind) {
        PipeRow made;
        made.place = {{next, next + 1.0}, {next + 2.0, next + 3.0}};
        made.level = level;
        made.kind = kind;
        made.length_m = (next += 0.125);
        made.start_elev_m = (next += 0.125);
        made.end_elev_m = (next += 0.125);
        made.fill_line = FillLine::wet;
        return made;
    };
    result.fill = pipe(PadLevel::roof, PipeKind::fill);
    result.feed = pipe(PadLevel::roof, PipeKind::feed);
    result.shared_fill = pipe(PadLevel::parcel, PipeKind::fill);
    for (int i = 0; i < 2; ++i) {
        CurveRow option;
        option.storage_m3 = next + i;
        option.tank_count = i + 1;
        option.overflow_mean_m3 = 0.5 * i;
        result.curve.push_back(option);
    }
    return result;
}

RoofRows not_computed(std::uint64_t ordinal) {
    RoofRows result;
    result.ordinal = ordinal;
    result.roof.status = Status::too_small;
    result.roof.plan_area_m2 = 7.0;
    return result;
}

template <typename Row>
std::vector<Value> all_values(const Row& row) {
    std::vector<Value> values;
    values_of(row, values);
    return values;
}

void expect_equal(const RoofRows& a, const RoofRows& b) {
    EXPECT_EQ(a.ordinal, b.ordinal);
    EXPECT_EQ(all_values(a.roof), all_values(b.roof));
    ASSERT_EQ(a.use_point.has_value(), b.use_point.has_value());
    if (a.use_point) {
        EXPECT_EQ(a.use_point->place, b.use_point->place);
        EXPECT_EQ(all_values(*a.use_point), all_values(*b.use_point));
    }
    ASSERT_EQ(a.pad.has_value(), b.pad.has_value());
    if (a.pad) {
        EXPECT_EQ(a.pad->place, b.pad->place);
        EXPECT_EQ(all_values(*a.pad), all_values(*b.pad));
    }
    for (const auto pipe : {&RoofRows::fill, &RoofRows::feed, &RoofRows::shared_fill}) {
        ASSERT_EQ((a.*pipe).has_value(), (b.*pipe).has_value());
        if (a.*pipe) {
            EXPECT_EQ((a.*pipe)->place.from, (b.*pipe)->place.from);
            EXPECT_EQ((a.*pipe)->place.to, (b.*pipe)->place.to);
            EXPECT_EQ(all_values(*(a.*pipe)), all_values(*(b.*pipe)));
        }
    }
    ASSERT_EQ(a.curve.size(), b.curve.size());
    for (std::size_t i = 0; i < a.curve.size(); ++i) {
        EXPECT_EQ(all_values(a.curve[i]), all_values(b.curve[i]));
    }
}

RowsOf of_tiles(const std::vector<TileRows>& tiles, std::uint64_t first_tile = 0) {
    RowsOf of{first_tile, {}};
    for (const TileRows& tile : tiles) {
        of.tiles.push_back(
            {static_cast<std::uint32_t>(tile.roofs.size()), static_cast<std::uint32_t>(tile.parcels.size())});
    }
    return of;
}

// A file of rows with all of these tiles.
RowsFile written(const std::string& path, const std::vector<TileRows>& tiles, std::uint64_t first_tile = 0,
                 const SpoolFormat& format = kFormat) {
    RowsFile file(path, format, of_tiles(tiles, first_tile), RowsFile::Begin::anew);
    for (std::size_t i = tiles.size(); i > 0; --i) {
        file.write(first_tile + i - 1, tiles[i - 1]);
    }
    return file;
}

GatheredRows gathered(InputRows count, RowsFile file, const SpoolFormat& format = kFormat) {
    std::vector<RowsFile> files;
    files.push_back(std::move(file));
    return {format, count, std::move(files)};
}

std::string content_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(Spool, RowsComeBackInInputOrderWhateverTheTiles) {
    const TempFolder folder;
    GatheredRows rows = gathered(
        {5, 0},
        written(folder.file("rows"), {{{roof(1), not_computed(4)}}, {{roof(0), roof(3)}}, {{not_computed(2)}}}));
    EXPECT_TRUE(rows.complete());
    for (const std::uint64_t ordinal : {0U, 1U, 2U, 3U, 4U, 0U, 4U, 2U}) {  // backwards too
        expect_equal(rows.roof(ordinal), ordinal == 2 || ordinal == 4 ? not_computed(ordinal) : roof(ordinal));
    }
}

TEST(Spool, RowsOfSeveralFilesComeTogether) {
    const TempFolder folder;
    std::vector<RowsFile> files;
    files.push_back(written(folder.file("b"), {{{roof(1), not_computed(4)}}}, 1));
    files.push_back(written(folder.file("none"), {}, 2));
    files.push_back(written(folder.file("a"), {{{roof(0)}}, {{not_computed(2), roof(3)}}}, 2));
    GatheredRows rows(kFormat, {5, 0}, std::move(files));
    EXPECT_TRUE(rows.complete());
    for (const std::uint64_t ordinal : {4U, 0U, 1U, 2U, 3U}) {
        expect_equal(rows.roof(ordinal), ordinal == 2 || ordinal == 4 ? not_computed(ordinal) : roof(ordinal));
    }
}

TEST(Spool, ManyRowsAreReadThroughTheBuffer) {
    const TempFolder folder;
    TileRows tile;
    for (std::uint64_t i = 0; i < 1300; ++i) {
        tile.roofs.push_back(i % 3 == 0 ? not_computed(i) : roof(i));
    }
    GatheredRows rows = gathered({1300, 0}, written(folder.file("rows"), {tile}));
    for (std::uint64_t i = 0; i < 1300; ++i) {
        expect_equal(rows.roof(i), tile.roofs[i]);
    }
    expect_equal(rows.roof(1299), tile.roofs[1299]);
    expect_equal(rows.roof(5), tile.roofs[5]);
}

TEST(Spool, ACurveThatNobodyWantsTakesNoRoom) {
    SpoolFormat format = kFormat;
    format.curve = false;
    EXPECT_LT(packed_width(format), packed_width(kFormat));
    EXPECT_EQ(packed_width(format), packed_width({"plan a", 0, 2}));
    EXPECT_EQ(packed_parcel_width(format), packed_parcel_width(kFormat));
    const TempFolder folder;
    GatheredRows rows = gathered({2, 0}, written(folder.file("rows"), {{{roof(0), roof(1)}}}, 0, format), format);
    RoofRows without = roof(1);
    without.curve.clear();
    expect_equal(rows.roof(1), without);
}

// Whoever was first: threads, hosts and runs that were stopped leave the same file.
TEST(RowsFile, TheBytesDoNotDependOnWhichTileWasDoneFirst) {
    constexpr std::uint64_t kTiles = 40;
    const TempFolder folder;
    std::vector<TileRows> tiles;
    for (std::uint64_t tile = 0; tile < kTiles; ++tile) {
        tiles.push_back({{roof(tile), not_computed(2 * kTiles - 1 - tile)}});
    }
    const RowsFile backwards = written(folder.file("backwards"), tiles);
    RowsFile by_threads(folder.file("by_threads"), kFormat, of_tiles(tiles), RowsFile::Begin::anew);
    {
        std::vector<std::jthread> threads;
        for (std::uint64_t first = 0; first < 4; ++first) {
            threads.emplace_back([&, first] {
                for (std::uint64_t tile = first; tile < kTiles; tile += 4) {
                    by_threads.write(tile, tiles[tile]);
                }
            });
        }
    }
    EXPECT_TRUE(by_threads.complete());
    EXPECT_EQ(content_of(folder.file("by_threads")), content_of(folder.file("backwards")));
}

TEST(RowsFile, WhatIsWholeIsTakenUpAndWhatIsTornIsWrittenAgain) {
    const TempFolder folder;
    const std::string path = folder.file("rows");
    const std::vector<TileRows> tiles{{{roof(0)}}, {{roof(1)}, {}}, {{roof(2)}}};
    static_cast<void>(written(folder.file("whole"), tiles));
    const std::string whole = content_of(folder.file("whole"));
    {
        RowsFile file(path, kFormat, of_tiles(tiles), RowsFile::Begin::anew);
        file.write(2, tiles[2]);
        file.write(0, tiles[0]);
    }
    std::string torn = content_of(path);
    torn[torn.size() - 5] = static_cast<char>(torn[torn.size() - 5] ^ 1);  // of tile 2
    folder.write("rows", torn);
    RowsFile again(path, kFormat, of_tiles(tiles), RowsFile::Begin::taken_up);
    EXPECT_TRUE(again.holds(0));
    EXPECT_FALSE(again.holds(1));
    EXPECT_FALSE(again.holds(2));
    EXPECT_EQ(again.tiles_held(), 1U);
    again.write(1, tiles[1]);
    again.write(2, tiles[2]);
    EXPECT_TRUE(again.complete());
    EXPECT_EQ(content_of(path), whole);
    GatheredRows rows = gathered({3, 0}, std::move(again));
    for (const std::uint64_t ordinal : {0U, 1U, 2U}) {
        expect_equal(rows.roof(ordinal), roof(ordinal));
    }
}

// Cut anywhere, as a kill or a crash may leave it.
TEST(RowsFile, AFileCutAtAnyPlaceIsTakenUp) {
    const TempFolder folder;
    const std::vector<TileRows> tiles{{{roof(0)}, {}}, {{not_computed(1)}}};
    static_cast<void>(written(folder.file("whole"), tiles));
    const std::string whole = content_of(folder.file("whole"));
    for (std::size_t size = 0; size <= whole.size(); size += 97) {
        folder.write("rows", whole.substr(0, size));
        RowsFile file(folder.file("rows"), kFormat, of_tiles(tiles), RowsFile::Begin::taken_up);
        for (std::uint64_t tile = 0; tile < tiles.size(); ++tile) {
            if (!file.holds(tile)) {
                file.write(tile, tiles[tile]);
            }
        }
        EXPECT_EQ(content_of(folder.file("rows")), whole) << size;
    }
}

TEST(RowsFile, RowsOfAnotherJobAreNotTakenUp) {
    const TempFolder folder;
    const std::vector<TileRows> tiles{{{roof(0)}}};
    SpoolFormat other = kFormat;
    other.plan = "plan b";
    static_cast<void>(written(folder.file("rows"), tiles, 0, other));
    const RowsFile file(folder.file("rows"), kFormat, of_tiles(tiles), RowsFile::Begin::taken_up);
    EXPECT_EQ(file.tiles_held(), 0U);
}

TEST(RowsFile, ATornOrChangedFinishedFileIsRefused) {
    const TempFolder folder;
    const std::vector<TileRows> tiles{{{roof(0)}}, {{roof(1)}}};
    static_cast<void>(written(folder.file("rows"), tiles));
    const std::string whole = content_of(folder.file("rows"));
    const auto refused = [&](const std::string& content, const char* why) {
        folder.write("rows", content);
        testing::expect_error(
            [&] { static_cast<void>(RowsFile::finished(folder.file("rows"), kFormat, of_tiles(tiles))); },
            Fault::working, {"rows", why});
    };
    refused(whole.substr(0, whole.size() - 1), "bytes where its rows take");
    refused("", "other inputs");
    refused(whole + "x", "bytes where its rows take");
    std::string changed = whole;
    changed[whole.size() - 9] = static_cast<char>(changed[whole.size() - 9] ^ 1);
    refused(changed, "checksum that does not fit the rows of tile 2");
    folder.write("rows", whole);
    EXPECT_TRUE(RowsFile::finished(folder.file("rows"), kFormat, of_tiles(tiles)).complete());
}

TEST(RowsFile, RowsOfAnotherPlanOrPartAreRefused) {
    const TempFolder folder;
    const std::vector<TileRows> tiles{{{roof(0)}}};
    static_cast<void>(written(folder.file("rows"), tiles));
    const auto refused = [&](const SpoolFormat& format, const RowsOf& of) {
        testing::expect_error([&] { static_cast<void>(RowsFile::finished(folder.file("rows"), format, of)); },
                              Fault::working, {"rows", "other inputs"});
    };
    SpoolFormat other = kFormat;
    other.plan = "plan b";
    refused(other, of_tiles(tiles));
    other = kFormat;
    other.scenario_count = 1;
    refused(other, of_tiles(tiles));
    refused(kFormat, of_tiles(tiles, 1));
    refused(kFormat, of_tiles({{{roof(0)}}, {{roof(1)}}}));
}

TEST(RowsFile, IsNeverMadeOverAnotherNorThroughALink) {
    const TempFolder folder;
    folder.write("there", "x");
    const auto refused = [&](const std::string& name) {
        testing::expect_error([&] { const RowsFile file(folder.file(name), kFormat, {}, RowsFile::Begin::anew); },
                              Fault::working, {name});
    };
    refused("there");
    std::filesystem::create_symlink(folder.file("there"), folder.file("link"));
    refused("link");
    testing::expect_error([&] { const RowsFile file(folder.file("link"), kFormat, {}, RowsFile::Begin::taken_up); },
                          Fault::working, {"link"});
    EXPECT_EQ(content_of(folder.file("there")), "x");
}

TEST(RowsFile, AnotherNumberOfRowsThanPlannedIsADefect) {
    const TempFolder folder;
    RowsFile file(folder.file("rows"), kFormat, {3, {{1, 0}}}, RowsFile::Begin::anew);
    testing::expect_error([&] { file.write(3, {{roof(0), roof(1)}}); }, Fault::internal, {"number of rows"});
    testing::expect_error([&] { file.write(0, {{roof(0)}}); }, Fault::internal, {"does not belong"});
}

TEST(Spool, ATileThatFillsWhatOthersFillIsADefect) {
    const TempFolder folder;
    RowsFile file(folder.file("rows"), kFormat, {0, {{1, 0}, {0, 1}}}, RowsFile::Begin::anew);
    const auto refused = [&](std::uint64_t tile, const TileRows& rows, const char* column) {
        testing::expect_error([&] { file.write(tile, rows); }, Fault::internal, {column});
    };
    RoofRows named = roof(0);
    named.roof.roof_id = "R1";
    refused(0, {{named}}, "roof_id");
    ParcelRows ranked;
    ranked.parcel.rank = 1;
    refused(1, {{}, {ranked}}, "rank");
}

TEST(Spool, ARepeatedOrdinalAndOneBeyondTheInputAreRefused) {
    const TempFolder folder;
    testing::expect_error(
        [&] {
            static_cast<void>(gathered({2, 0}, written(folder.file("a"), {{{roof(0)}}, {{roof(0)}}})));
        },
        Fault::working, {"came before"});
    testing::expect_error(
        [&] {
            static_cast<void>(gathered({2, 0}, written(folder.file("b"), {{{roof(2)}}})));
        },
        Fault::working, {"no input row"});
    EXPECT_FALSE(gathered({2, 0}, written(folder.file("c"), {{{roof(1)}}})).complete());
}

ParcelRows parcel(std::uint64_t ordinal) {
    ParcelRows result;
    result.ordinal = ordinal;
    result.parcel.parcel_status = ParcelStatus::ok;
    result.parcel.flags.add(Flag::smaller_storage);
    result.parcel.forbearance_m3 = 12.5 + static_cast<double>(ordinal);
    result.parcel.delivery = Delivery::low_pressure;
    result.parcel.tank_count = 3;
    result.questions.resize(ordinal % 4);
    for (QuestionToAsk& question : result.questions) {
        question.question = Question::material;
        question.high.gravity_check = GravityCheck::yes;
        question.change = 0.5;
    }
    if (ordinal % 2 == 1) {
        result.scenarios.resize(2);
        result.scenarios[1].demand_m3 = 7.5;
    }
    if (ordinal % 2 == 0) {
        result.pad.emplace();
        result.pad->place = {1.5, -2.5};
        result.pad->pad_elev_m = 101.25;
        result.pad_roof = 7;
    }
    return result;
}

TEST(Spool, ParcelsComeBackToo) {
    const TempFolder folder;
    RoofRows connected = roof(0);
    connected.connected = true;
    GatheredRows rows =
        gathered({1, 4}, written(folder.file("rows"), {{{connected}, {parcel(0), parcel(3)}}, {{}, {parcel(1)}}}));
    EXPECT_TRUE(rows.roof(0).connected);
    for (const std::uint64_t ordinal : {3U, 0U, 1U}) {
        const auto read = rows.parcel(ordinal);
        ASSERT_TRUE(read.has_value());
        EXPECT_EQ(all_values(read->parcel), all_values(parcel(ordinal).parcel));
        ASSERT_EQ(read->pad.has_value(), ordinal % 2 == 0);
        ASSERT_EQ(read->questions.size(), ordinal % 4);
        for (const QuestionToAsk& question : read->questions) {
            EXPECT_EQ(question.question, Question::material);
            EXPECT_EQ(question.high.gravity_check, GravityCheck::yes);
            EXPECT_EQ(question.low.gravity_check, std::nullopt);
            EXPECT_EQ(question.change, 0.5);
        }
        ASSERT_EQ(read->scenarios.size(), ordinal % 2 == 1 ? 2U : 0U);
        if (ordinal % 2 == 1) {
            EXPECT_EQ(read->scenarios[0].demand_m3, std::nullopt);
            EXPECT_EQ(read->scenarios[1].demand_m3, 7.5);
        }
        if (read->pad) {
            EXPECT_EQ(read->pad->place, (Point{1.5, -2.5}));
            EXPECT_EQ(all_values(*read->pad), all_values(*parcel(ordinal).pad));
            EXPECT_EQ(read->pad_roof, 7U);
        }
    }
    EXPECT_FALSE(rows.parcel(2).has_value());  // no tile evaluated it
}

TEST(Spool, AnEmptyTileIsNoTrouble) {
    const TempFolder folder;
    EXPECT_TRUE(gathered({0, 0}, written(folder.file("rows"), {{}})).complete());
}

}  // namespace
}  // namespace eaveshed
