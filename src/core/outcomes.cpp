#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

const std::array<Term, 5>& status_terms() {
    static constexpr std::array<Term, 5> kTerms{{
        {"bad_geometry", "the footprint is missing, empty or cannot be repaired into an area"},
        {"duplicate", "exactly the same footprint as an earlier row; counted in no sum"},
        {"too_small", "plan area below min_area_m2"},
        {"no_rain", "no rain cell with data at the roof or within three cells of it, or no tank year with enough data"},
        {"ok", "computed"},
    }};
    return kTerms;
}

const std::array<Term, kFlagCount>& flag_terms() {
    static constexpr std::array<Term, kFlagCount> kTerms{{
        {"assumed_dry_winter", "dependable and worst values come from the mean year times dry_winter_factor"},
        {"assumed_use_point",
         "no use point with an elevation was given: a garden cell of middling elevation stands in for it"},
        {"check_permit", "one tank is larger or more slender than the permit limits in the settings"},
        {"default_connected", "no usable connected share in the data: the default was used"},
        {"default_demand", "people and garden area, or the measured season use, do not both come from data"},
        {"default_eave", "no eave height, surface or storeys in the data: the default height was used"},
        {"default_et0", "no reference evapotranspiration at the roof: the default was used"},
        {"default_material", "no roof material in the data, or one that is not in the table: the default was used"},
        {"dem_gap", "part of the footprint's edge lies on missing elevation"},
        {"mean_year_only", "rain is a mean year: nothing is known of dry winters"},
        {"measured", "a measured value from the overrides table was used"},
        {"no_elevation", "no elevation anywhere along the footprint's edge: no ground, eave or siting"},
        {"overlaps", "overlaps another footprint by more than overlap_share of the smaller one"},
        {"rain_filled", "rain taken from the nearest cell with data, up to three cells away"},
        {"read_error", "a block of an input under this roof could not be read"},
        {"repaired", "the footprint was invalid and was repaired"},
        {"score_partial", "a component of the score has no data"},
        {"short_record", "fewer than ten tank years count"},
        {"smaller_storage", "the recommended storage has no pad: the next smaller one that has"},
        {"text_replaced", "a text that was not valid UTF-8 was replaced"},
        {"unknown_source", "the water source is not known: the creek is assumed not to feel the take"},
    }};
    return kTerms;
}

const std::array<Term, 3>& limited_by_terms() {
    static constexpr std::array<Term, 3> kTerms{{
        {"demand", "the season's demand is met: more storage or roof would replace little more"},
        {"tank", "a larger tank would replace more"},
        {"roof", "the roof fills no larger tank dependably"},
    }};
    return kTerms;
}

const std::array<Term, 6>& delivery_terms() {
    static constexpr std::array<Term, 6> kTerms{{
        {"gravity", "fills from the gutter and feeds at the required pressure without a pump"},
        {"low_pressure", "fills and feeds without a pump, at a pressure for drip tape or an open hose"},
        {"pumped_feed", "fills from the gutter; a pump feeds"},
        {"pumped_fill", "the gutter is too low: a pump lifts the water into the tank"},
        {"no_pad", "no cell passes the siting rules"},
        {"no_use", "no storage replaces any summer take"},
    }};
    return kTerms;
}

const std::array<Term, 3>& gravity_check_terms() {
    static constexpr std::array<Term, 3> kTerms{{
        {"yes", "gravity fill and feed hold with at least 90 % probability"},
        {"no", "gravity fill or feed holds with at most 10 % probability"},
        {"cannot_tell", "the elevations are not certain enough to tell"},
    }};
    return kTerms;
}

const std::array<Term, 12>& pad_reason_terms() {
    static constexpr std::array<Term, 12> kTerms{{
        {"elevation_gap", "elevation missing at the cell or around it"},
        {"slope", "steeper than max_slope_pct"},
        {"cut", "levelling needs a cut deeper than max_cut_m"},
        {"parcel", "outside the parcel, or nearer to another footprint"},
        {"boundary_setback", "too near the parcel's edge"},
        {"building_setback", "too near a building"},
        {"stream_setback", "too near a stream"},
        {"exclusion", "inside or too near an exclusion area"},
        {"lift", "the gutter is too far below the tank top"},
        {"feed_lift", "the use point is too far above the tank"},
        {"no_use_point", "no use point given and no garden cell found"},
        {"no_elevation", "no elevation at the roof"},
    }};
    return kTerms;
}

const std::array<Term, 3>& parcel_status_terms() {
    static constexpr std::array<Term, 3> kTerms{{
        {"no_roofs", "no footprint of the input belongs to the parcel"},
        {"no_computed_roofs", "none of its roofs has status ok"},
        {"ok", "computed"},
    }};
    return kTerms;
}

const std::array<Term, 4>& contact_status_terms() {
    static constexpr std::array<Term, 4> kTerms{{
        {"candidate", "may be asked"},
        {"enrolled", "has an agreement already: its gain counts as present"},
        {"declined", "has said no"},
        {"do_not_contact", "asked to be left alone"},
    }};
    return kTerms;
}

const std::array<Term, 2>& pad_level_terms() {
    static constexpr std::array<Term, 2> kTerms{{
        {"roof", "the pad of one roof's storage"},
        {"parcel", "the pad of the storage shared by the connected roofs of a parcel"},
    }};
    return kTerms;
}

const std::array<Term, 3>& fill_terms() {
    static constexpr std::array<Term, 3> kTerms{{
        {"sure", "the gutter is high enough with at least 90 % probability"},
        {"likely", "the gutter is high enough by the elevations as they are"},
        {"lifted", "the gutter is too low: a pump lifts the water into the tank"},
    }};
    return kTerms;
}

const std::array<Term, 3>& feed_terms() {
    static constexpr std::array<Term, 3> kTerms{{
        {"gravity", "reaches the required pressure without a pump"},
        {"low", "reaches the minimum pressure, for drip tape or an open hose, without a pump"},
        {"pumped", "needs a pump"},
    }};
    return kTerms;
}

const std::array<Term, 2>& fill_line_terms() {
    static constexpr std::array<Term, 2> kTerms{{
        {"dry", "falls all the way and empties itself"},
        {"wet", "is buried and stays full: watertight joints and a drain at its lowest point"},
    }};
    return kTerms;
}

const std::array<Term, 6>& override_outcome_terms() {
    static constexpr std::array<Term, 6> kTerms{{
        {"applied", "its values stand for the roof or parcel of that id"},
        {"carried", "its values stand for the one that now lies where the old outline lay"},
        {"ambiguous", "several could be meant, or another row says otherwise: not applied"},
        {"no_match", "no roof or parcel of that id, and none where the old outline lay: not applied"},
        {"not_usable", "no single id, or no value that can be used: not applied"},
        {"empty", "an id without any value: nothing to apply"},
    }};
    return kTerms;
}

namespace {

template <std::size_t N, typename Enum>
std::string_view name_of(const std::array<Term, N>& terms, Enum value) {
    return terms.at(static_cast<std::size_t>(value)).name;
}

}  // namespace

std::string_view to_text(Status value) {
    return name_of(status_terms(), value);
}
std::string_view to_text(Flag value) {
    return name_of(flag_terms(), value);
}
std::string_view to_text(LimitedBy value) {
    return name_of(limited_by_terms(), value);
}
std::string_view to_text(Delivery value) {
    return name_of(delivery_terms(), value);
}
std::string_view to_text(GravityCheck value) {
    return name_of(gravity_check_terms(), value);
}
std::string_view to_text(PadReason value) {
    return name_of(pad_reason_terms(), value);
}
std::string_view to_text(ParcelStatus value) {
    return name_of(parcel_status_terms(), value);
}
std::string_view to_text(ContactStatus value) {
    return name_of(contact_status_terms(), value);
}
std::string_view to_text(PadLevel value) {
    return name_of(pad_level_terms(), value);
}
std::string_view to_text(FillClass value) {
    return name_of(fill_terms(), value);
}
std::string_view to_text(FeedClass value) {
    return name_of(feed_terms(), value);
}
std::string_view to_text(FillLine value) {
    return name_of(fill_line_terms(), value);
}
std::string_view to_text(OverrideOutcome value) {
    return name_of(override_outcome_terms(), value);
}

std::string to_text(Flags flags) {
    std::string text;
    for (std::size_t i = 0; i < kFlagCount; ++i) {
        if (!flags.has(static_cast<Flag>(i))) {
            continue;
        }
        if (!text.empty()) {
            text += ',';
        }
        text += flag_terms()[i].name;
    }
    return text;
}

}  // namespace eaveshed
