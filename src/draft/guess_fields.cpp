// Which field means what: by its name, and by what stands in it.
#include <algorithm>
#include <array>
#include <functional>
#include <set>
#include <span>

#include <fmt/format.h>

#include "eaveshed/core/choices.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/fieldbook/contact_word.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

template <typename... Word>
constexpr std::array<std::string_view, sizeof...(Word)> words(Word... word) {
    return {std::string_view(word)...};
}

// What stands in a field's way; empty for nothing.
using Doubt = std::string (*)(const FieldSeen& field, const LayerSeen& layer);

struct FieldRole {
    std::string_view section;
    std::string_view key;
    std::span<const std::string_view> words;
    std::span<const std::string_view> never;  // words that speak against it
    Doubt doubt;
};

constexpr std::array kRoofId =
    words("roof_id", "bldg_id", "building_id", "bldgid", "object_id", "osm_id", "bid", "objectid", "id");
constexpr std::array kMaterial = words("material", "mat", "matl", "roofing");
constexpr std::array kStoreys =
    words("storeys", "stories", "floors", "levels", "storey", "story", "nfloors", "num_floor");
constexpr std::array kEave = words("eave", "eaves", "gutter", "height");
constexpr std::array kConnected = words("connected", "gutter_share", "guttered", "downspout");
constexpr std::array kParcelOfRoof = words("apn", "parcel", "parcelid", "taxlot", "pin", "lot");
constexpr std::array kParcelId = words("apn", "parcel_id", "parcelid", "taxlot", "lot_id", "pin", "parcel_num",
                                       "parcel_no", "parcel", "site_id", "id");
constexpr std::array kPeople = words("people", "persons", "pers", "occupants", "residents", "household");
constexpr std::array kGarden = words("irrigated", "irrig", "garden", "watered", "lawn");
constexpr std::array kUse = words("season_use", "summer_use", "use");
constexpr std::array kSource = words("water_source", "water_src", "wtr_src", "source", "supply");
constexpr std::array kSourceShare = words("source_share", "creek_share");
constexpr std::array kDistance =
    words("stream_dist", "creek_dist", "dist_to_creek", "dist_to_stream", "dist_creek", "dist_stream");
constexpr std::array kPump = words("pump_lps", "pump");
constexpr std::array kStorage = words("existing_storage", "storage", "existing_tank", "tank");
constexpr std::array kOwnerKey = words("owner_key", "owner_id", "ownerid");
constexpr std::array kStatus = words("contact_status", "status");
constexpr std::array kCarry =
    words("owner", "name", "phone", "tel", "email", "mail", "mailadd", "maddr", "addr", "address", "situs");
constexpr std::array kNotMaterial = words("walls", "wall");
constexpr std::array kNotStoreys = words("walls", "roof_levels", "min");
constexpr std::array kShare = words("share", "pct", "percent");
constexpr std::array kEaveOnly = words("eave", "gutter");
// No quantities, whatever else the name says: a class of use, a pump's power, a well's depth.
constexpr std::array kNotQuantity =
    words("code", "cd", "hp", "depth", "desc", "descr", "type", "class", "land", "year", "count", "num", "date");

std::string filled_text(const FieldSeen& field, const LayerSeen& layer) {
    return fmt::format("filled in {} of {}", field.filled, layer.looked_at);
}

std::string none(const FieldSeen& field, const LayerSeen& layer) {
    constexpr std::size_t kFew = 20;  // less than one in so many has a value
    return field.filled * kFew < layer.looked_at ? filled_text(field, layer) : "";
}

std::string not_unique(const FieldSeen& field, const LayerSeen& layer) {
    return field.filled < layer.looked_at ? filled_text(field, layer)
           : field.different < layer.looked_at
               ? fmt::format("{} different values for {}", field.different, counted(layer.looked_at, "feature"))
               : "";
}

std::string not_numbers(const FieldSeen& field, const LayerSeen& layer) {
    if (std::string few = none(field, layer); !few.empty()) {
        return few;
    }
    return field.numbers * 2 < field.filled
               ? fmt::format("not numbers, such as '{}'", printable(field.values.front(), 40))
               : "";
}

std::string no_eave(const FieldSeen& field, const LayerSeen& layer) {
    if (std::string other = not_numbers(field, layer); !other.empty()) {
        return other;
    }
    return word_in(field.name, kEaveOnly).empty() ? "is it the gutter's height, or the ridge's?" : "";
}

std::string no_share(const FieldSeen& field, const LayerSeen& layer) {
    if (std::string other = not_numbers(field, layer); !other.empty()) {
        return other;
    }
    return field.most > 1.0 ? fmt::format("values up to {:g}, where a share is 0 to 1", field.most) : "";
}

// Some of the words that sources are told by have to be there.
std::string no_source(const FieldSeen& field, const LayerSeen& layer) {
    if (std::string few = none(field, layer); !few.empty()) {
        return few;
    }
    const auto exact = [](const std::string& value) { return from_text<WaterSource>(value).has_value(); };
    const auto nearly = [&](const std::string& value) { return !exact(value) && exact(lower_case(value)); };
    return std::ranges::any_of(field.values, exact) && std::ranges::none_of(field.values, nearly)
               ? ""
               : fmt::format("its words are to be {}, written just so; it has {}",
                             listed_words(closed_list<WaterSource>()), listed(field.values, 4));
}

// A word that is no state leaves its owner out of every list.
std::string no_status(const FieldSeen& field, const LayerSeen& /*layer*/) {
    const auto is_state = [](const std::string& value) { return contact_status_of(value).has_value(); };
    if (field.different <= field.values.size() && std::ranges::all_of(field.values, is_state)) {
        return {};
    }
    return fmt::format("its words are to be {}; it has {}, and a word that is no state means do not contact",
                       listed_words(closed_list<ContactStatus>()), listed(field.values, 4));
}

const std::array kFieldRoles{
    FieldRole{"footprints", "id", kRoofId, {}, not_unique},
    FieldRole{"footprints", "material", kMaterial, kNotMaterial, none},
    FieldRole{"footprints", "storeys", kStoreys, kNotStoreys, not_numbers},
    FieldRole{"footprints", "eave_height", kEave, kShare, no_eave},
    FieldRole{"footprints", "connected_share", kConnected, {}, no_share},
    FieldRole{"footprints", "parcel", kParcelOfRoof, {}, none},
    FieldRole{"parcels", "id", kParcelId, {}, not_unique},
    FieldRole{"parcels", "people", kPeople, {}, not_numbers},
    FieldRole{"parcels", "irrigated_area_m2", kGarden, kNotQuantity, not_numbers},
    FieldRole{"parcels", "season_use_m3", kUse, kNotQuantity, not_numbers},
    FieldRole{"parcels", "water_source", kSource, kShare, no_source},
    FieldRole{"parcels", "source_share", kSourceShare, {}, no_share},
    FieldRole{"parcels", "stream_distance_m", kDistance, kNotQuantity, not_numbers},
    FieldRole{"parcels", "pump_lps", kPump, kNotQuantity, not_numbers},
    FieldRole{"parcels", "existing_storage_m3", kStorage, kNotQuantity, not_numbers},
    FieldRole{"parcels", "owner_key", kOwnerKey, {}, none},
    FieldRole{"parcels", "status", kStatus, {}, no_status},
    FieldRole{"use_points", "parcel", kParcelOfRoof, {}, none},
};

// A unit that a field's name states: "use_gal", "garden_sqft"; the setting's own as "".
std::optional<std::string_view> unit_in(std::string_view field, std::string_view dimension) {
    struct Spelling {
        std::string_view dimension;
        std::string_view word;
        std::string_view unit;
    };
    static constexpr std::array kSpellings{
        Spelling{"m2", "sqft", "ft2"},   Spelling{"m2", "sq_ft", "ft2"}, Spelling{"m2", "sq_feet", "ft2"},
        Spelling{"m2", "sqfeet", "ft2"}, Spelling{"m2", "ft2", "ft2"},   Spelling{"m2", "sf", "ft2"},
        Spelling{"m2", "acre", "acre"},  Spelling{"m2", "ac", "acre"},   Spelling{"m2", "ha", "ha"},
        Spelling{"m2", "hectare", "ha"}, Spelling{"m2", "m2", ""},       Spelling{"m2", "sqm", ""},
        Spelling{"m2", "sq_m", ""},      Spelling{"m3", "gal", "gal"},   Spelling{"m3", "gals", "gal"},
        Spelling{"m3", "gallon", "gal"}, Spelling{"m3", "kgal", "kgal"}, Spelling{"m3", "liter", "L"},
        Spelling{"m3", "litre", "L"},    Spelling{"m3", "l", "L"},       Spelling{"m3", "m3", ""},
        Spelling{"m", "ft", "ft"},       Spelling{"m", "feet", "ft"},    Spelling{"m", "foot", "ft"},
        Spelling{"m", "m", ""},          Spelling{"m", "metre", ""},     Spelling{"m", "meter", ""},
        Spelling{"lps", "gpm", "gpm"},   Spelling{"lps", "cfs", "cfs"},  Spelling{"lps", "lps", ""},
    };
    for (const Spelling& spelling : kSpellings) {
        if (spelling.dimension == dimension && !word_in(field, {&spelling.word, 1}).empty()) {
            return spelling.unit;
        }
    }
    return std::nullopt;
}

// What the setting's own unit is, by the end of its key; empty for a setting without one.
std::string_view dimension_of(std::string_view key) {
    if (key == "eave_height") {
        return "m";
    }
    const std::size_t last = key.rfind('_');
    const std::string_view end = last == std::string_view::npos ? "" : key.substr(last + 1);
    return end == "m" || end == "m2" || end == "m3" || end == "lps" ? end : "";
}

DraftLine field_line(const FieldRole& role, const FieldSeen& field, const LayerSeen& layer) {
    DraftLine line{.key = std::string(role.key), .value = toml_text(field.name)};
    const std::string_view dimension = dimension_of(role.key);
    const auto unit = dimension.empty() ? std::optional<std::string_view>("") : unit_in(field.name, dimension);
    if (unit && !unit->empty()) {
        line.value = fmt::format("{{ field = {}, unit = {} }}", line.value, toml_text(*unit));
    }
    std::string doubt = role.doubt(field, layer);
    if (doubt.empty() && !unit) {
        doubt = fmt::format("which unit? {:g} to {:g} would be read as {}", field.least, field.most,
                            dimension == "lps" ? "L/s" : dimension);
    }
    line.doubtful = !doubt.empty();
    line.why = line.doubtful      ? doubt
               : role.key == "id" ? "every feature has its own"
               : field.numeric()  ? fmt::format("{:g} to {:g}", field.least, field.most)
                                  : "such as " + listed(field.values, 3);
    return line;
}

// The first word that fits decides; of fields with the same word one without a doubt.
std::optional<DraftLine> line_for(const FieldRole& role, const LayerSeen& layer, std::set<std::string>& used) {
    std::optional<DraftLine> best;
    std::string best_field;
    for (const std::string_view word : role.words) {
        for (const FieldSeen& field : layer.fields) {
            if (used.contains(field.name) || field.filled == 0 || word_in(field.name, {&word, 1}).empty() ||
                !word_in(field.name, role.never).empty()) {
                continue;
            }
            DraftLine line = field_line(role, field, layer);
            if (!best || (best->doubtful && !line.doubtful)) {
                best = std::move(line);
                best_field = field.name;
            }
        }
        if (best && !best->doubtful) {
            break;
        }
    }
    if (best && !best->doubtful) {
        used.insert(best_field);
    }
    return best;
}

// Fields for call lists.
std::optional<DraftLine> carry_line(const LayerSeen& layer, const std::set<std::string>& used) {
    std::string value;
    for (const FieldSeen& field : layer.fields) {
        if (!used.contains(field.name) && field.filled > 0 && !word_in(field.name, kCarry).empty()) {
            value += (value.empty() ? "" : ", ") + toml_text(field.name);
        }
    }
    if (value.empty()) {
        return std::nullopt;
    }
    return DraftLine{"carry", "[" + value + "]", "for call lists only: they never enter the GeoPackage"};
}

std::size_t layers_of(const FileSeen& file) {
    return file.layers.size();
}

}  // namespace

DraftSection layer_section(const Sighting& sighting, const Sightings& all) {
    const std::string section_name = sighting.role.substr(0, sighting.role.find('.'));
    DraftSection section{.name = section_name, .repeated = section_name == "exclusions"};
    section.doubt = sighting.doubt;
    section.lines.push_back({"source", toml_text(sighting.path), sighting.why});
    if (layers_of(*sighting.file) > 1) {
        section.lines.push_back({"layer", toml_text(sighting.layer->name),
                                 fmt::format("one of {}", counted(layers_of(*sighting.file), "layer"))});
    }
    std::set<std::string> used;
    const bool with_parcels = with_role(all, "parcels.source") != nullptr;
    for (const FieldRole& role : kFieldRoles) {
        if (role.section != section_name || (role.key == "parcel" && !with_parcels)) {
            continue;
        }
        if (auto line = line_for(role, *sighting.layer, used)) {
            section.lines.push_back(std::move(*line));
        }
    }
    if (section_name == "parcels") {
        if (std::ranges::none_of(section.lines, [](const DraftLine& line) {
                return (line.key == "water_source" || line.key == "source_share") && !line.doubtful;
            })) {
            section.lines.push_back({"default_water_source", toml_text("creek"),
                                     "no field recognised that says where the summer water comes from; while it is "
                                     "unknown no creek gains",
                                     true});
        }
        if (auto line = carry_line(*sighting.layer, used)) {
            section.lines.push_back(std::move(*line));
        }
    }
    if (section_name == "exclusions") {
        section.lines.push_back({"name", toml_text(sighting.layer->name), "how the result names it"});
    }
    return section;
}

DraftSection material_section(const Sighting& footprints) {
    DraftSection section{.name = "harvest.runoff_coefficient"};
    const DraftSection of_footprints = layer_section(footprints, {});
    const auto material = std::ranges::find(of_footprints.lines, "material", &DraftLine::key);
    if (material == of_footprints.lines.end() || material->doubtful) {
        return section;
    }
    const HarvestSettings shipped;
    for (const FieldSeen& field : footprints.layer->fields) {
        if (toml_text(field.name) != material->value) {
            continue;
        }
        for (const std::string& value : field.values) {
            if (!shipped.runoff_coefficient.contains(value)) {
                section.lines.push_back({toml_text(value), fmt::format("{}", shipped.default_runoff_coefficient),
                                         "no shipped coefficient has this name", true});
            }
        }
    }
    return section;
}

}  // namespace eaveshed
