#include "eaveshed/store/spool.hpp"

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

GatheredRows gathered(const TempFolder& folder, std::uint64_t count, std::uint64_t parcels = 0) {
    return {folder.path() / "all", kFormat, {count, parcels}};
}

TEST(Spool, RowsComeBackInInputOrderWhateverTheTiles) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {{roof(1), not_computed(4)}});
    write_tile(folder.path(), 1, kFormat, {{roof(0), roof(3)}});
    GatheredRows rows = gathered(folder, 5);
    SpoolWriter(folder.path(), kFormat, rows).write(2, {{not_computed(2)}});
    for (const std::uint64_t tile : {0U, 1U}) {
        EXPECT_FALSE(rows.complete());
        rows.add(folder.path(), tile);
    }
    EXPECT_TRUE(rows.complete());
    for (const std::uint64_t ordinal : {0U, 1U, 2U, 3U, 4U, 0U, 4U, 2U}) {  // backwards too
        expect_equal(rows.roof(ordinal), ordinal == 2 || ordinal == 4 ? not_computed(ordinal) : roof(ordinal));
    }
}

TEST(Spool, ManyRowsAreReadThroughTheBuffer) {
    const TempFolder folder;
    TileRows tile;
    for (std::uint64_t i = 0; i < 1300; ++i) {
        tile.roofs.push_back(i % 3 == 0 ? not_computed(i) : roof(i));
    }
    write_tile(folder.path(), 0, kFormat, tile);
    GatheredRows rows = gathered(folder, 1300);
    rows.add(folder.path(), 0);
    for (std::uint64_t i = 0; i < 1300; ++i) {
        expect_equal(rows.roof(i), tile.roofs[i]);
    }
    expect_equal(rows.roof(1299), tile.roofs[1299]);
    expect_equal(rows.roof(5), tile.roofs[5]);
}

TEST(Spool, TakesTilesFromSeveralThreadsAtOnce) {
    constexpr std::uint64_t kTiles = 40;
    const TempFolder folder;
    GatheredRows rows = gathered(folder, 2 * kTiles);
    SpoolWriter spool(folder.path(), kFormat, rows);
    {
        std::vector<std::jthread> threads;
        for (std::uint64_t first = 0; first < 4; ++first) {
            threads.emplace_back([&spool, first] {
                for (std::uint64_t tile = first; tile < kTiles; tile += 4) {
                    spool.write(tile, {{roof(tile), not_computed(2 * kTiles - 1 - tile)}});
                }
            });
        }
    }
    EXPECT_TRUE(rows.complete());
    for (std::uint64_t i = 0; i < 2 * kTiles; ++i) {
        expect_equal(rows.roof(i), i < kTiles ? roof(i) : not_computed(i));
    }
}

TEST(Spool, ACurveThatNobodyWantsTakesNoRoom) {
    SpoolFormat format = kFormat;
    format.curve = false;
    EXPECT_LT(packed_width(format), packed_width(kFormat));
    EXPECT_EQ(packed_width(format), packed_width({"plan a", 0, 2}));
    EXPECT_EQ(packed_parcel_width(format), packed_parcel_width(kFormat));
    const TempFolder folder;
    GatheredRows rows(folder.path() / "all", format, {2, 0});
    SpoolWriter(folder.path(), format, rows).write(0, {{roof(0), roof(1)}});
    RoofRows without = roof(1);
    without.curve.clear();
    expect_equal(rows.roof(1), without);
}

TEST(Spool, EqualRowsGiveEqualBytesOfTheWidthThatIsSaid) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {{roof(1)}});
    write_tile(folder.path(), 1, kFormat, {{roof(1)}});
    write_tile(folder.path(), 2, kFormat, {{roof(1), not_computed(2)}});
    const auto bytes = [&](const char* name) {
        std::ifstream in(folder.file(name), std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(in), {});
    };
    EXPECT_EQ(bytes("0.rows"), bytes("1.rows"));
    EXPECT_EQ(bytes("2.rows").size() - bytes("0.rows").size(), packed_width(kFormat));
    EXPECT_GT(packed_width({"plan", 8}), packed_width(kFormat));
    EXPECT_FALSE(std::filesystem::exists(folder.file("0.rows.part")));
}

TEST(Spool, ATornOrChangedFileIsRefused) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {{roof(0)}});
    const std::string path = folder.file("0.rows");
    std::ifstream in(path, std::ios::binary);
    const std::string whole(std::istreambuf_iterator<char>(in), {});
    const auto refused = [&](const std::string& content, const char* why) {
        folder.write("0.rows", content);
        testing::expect_error([&] { gathered(folder, 1).add(folder.path(), 0); }, Fault::working, {"0.rows", why});
    };
    refused(whole.substr(0, whole.size() - 1), "checksum");
    refused(whole.substr(0, whole.size() / 2), "checksum");
    refused("", "too early");
    refused(whole + "x", "checksum");
    std::string changed = whole;
    changed[whole.size() / 2] = static_cast<char>(changed[whole.size() / 2] ^ 1);
    refused(changed, "checksum");
    folder.write("0.rows", whole);
    GatheredRows rows = gathered(folder, 1);
    rows.add(folder.path(), 0);
    EXPECT_TRUE(rows.complete());
}

TEST(Spool, RowsOfAnotherPlanAreRefused) {
    const TempFolder folder;
    write_tile(folder.path(), 0, {"plan b", 2}, {{roof(0)}});
    testing::expect_error([&] { gathered(folder, 1).add(folder.path(), 0); }, Fault::working, {"other inputs"});
    write_tile(folder.path(), 1, {"plan of another length", 2}, {{roof(0)}});
    testing::expect_error([&] { gathered(folder, 1).add(folder.path(), 1); }, Fault::working, {"1.rows"});
    RoofRows three = roof(0);
    three.curve.push_back({});
    write_tile(folder.path(), 2, {"plan a", 3}, {{three}});
    testing::expect_error([&] { gathered(folder, 1).add(folder.path(), 2); }, Fault::working, {"2.rows"});
}

TEST(Spool, ATileThatFillsWhatOthersFillIsADefect) {
    const TempFolder folder;
    const auto refused = [&](const TileRows& rows, const char* column) {
        testing::expect_error([&] { write_tile(folder.path(), 0, kFormat, rows); }, Fault::internal, {column});
    };
    RoofRows named = roof(0);
    named.roof.roof_id = "R1";
    refused({{named}}, "roof_id");
    ParcelRows ranked;
    ranked.parcel.rank = 1;
    refused({{}, {ranked}}, "rank");
}

TEST(Spool, AMissingTileIsAWorkingErrorAndRowsStayIncomplete) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {{roof(0)}});
    GatheredRows rows = gathered(folder, 2);
    rows.add(folder.path(), 0);
    testing::expect_error([&] { rows.add(folder.path(), 1); }, Fault::working, {"1.rows"});
    EXPECT_FALSE(rows.complete());
}

TEST(Spool, ARepeatedOrdinalAndOneBeyondTheInputAreRefused) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {{roof(0)}});
    write_tile(folder.path(), 1, kFormat, {{roof(0)}});
    write_tile(folder.path(), 2, kFormat, {{roof(2)}});
    GatheredRows rows = gathered(folder, 2);
    rows.add(folder.path(), 0);
    testing::expect_error([&] { rows.add(folder.path(), 1); }, Fault::working, {"came before"});
    testing::expect_error([&] { rows.add(folder.path(), 2); }, Fault::working, {"no input row"});
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
    write_tile(folder.path(), 0, kFormat, {{connected}, {parcel(0), parcel(3)}});
    write_tile(folder.path(), 1, kFormat, {{}, {parcel(1)}});
    GatheredRows rows = gathered(folder, 1, 4);
    rows.add(folder.path(), 1);
    rows.add(folder.path(), 0);
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
    testing::expect_error([&] { rows.add(folder.path(), 0); }, Fault::working, {"came before"});
}

TEST(Spool, AnEmptyTileIsNoTrouble) {
    const TempFolder folder;
    write_tile(folder.path(), 0, kFormat, {});
    GatheredRows rows = gathered(folder, 0);
    rows.add(folder.path(), 0);
    EXPECT_TRUE(rows.complete());
}

}  // namespace
}  // namespace eaveshed
