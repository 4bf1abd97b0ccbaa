#include "eaveshed/facts/fields.hpp"

#include <algorithm>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/number_spelling.hpp"

namespace eaveshed {

namespace {

// "75 %" as the text of 0.75's hundredfold; none where no percent sign ends it.
std::optional<std::string> before_percent(std::string_view text) {
    const std::size_t last = text.find_last_not_of(" \t\r\n");
    if (last == std::string_view::npos || text[last] != '%') {
        return std::nullopt;
    }
    return std::string(text.substr(0, last));
}

template <typename Facts>
std::optional<double> plain_number_of(const KnownFact<Facts>& fact, const std::string& text, const Unit* stated) {
    if (const Unit* const own = find_unit(fact.unit)) {
        return in_unit(text, *own, stated != nullptr ? *stated : *own);
    }
    const auto percent = fact.range == value_ranges::kShare ? before_percent(text) : std::nullopt;
    if (!percent) {
        return number_in(text);
    }
    const auto number = number_in(*percent);
    return number ? std::optional(*number / kPercent) : std::nullopt;
}

}  // namespace

template <typename Facts>
std::optional<double> number_of(const KnownFact<Facts>& fact, std::string_view text, const Unit* stated) {
    const SpelledNumber number = spelled_number(text);
    return number.spelling == NumberSpelling::two_ways ? std::nullopt : plain_number_of(fact, number.text, stated);
}

template std::optional<double> number_of(const KnownFact<RoofFacts>& fact, std::string_view text, const Unit* stated);
template std::optional<double> number_of(const KnownFact<ParcelFacts>& fact, std::string_view text, const Unit* stated);

void NumberTexts::add(ByPlace& kind, std::size_t place, const std::string& text) {
    OfField& field = kind[place];
    if (field.count++ == 0) {
        field.first = text;
    }
}

template <typename Facts>
LayerFields<Facts>::LayerFields(const Settings& settings) {
    for (const Setting& setting : settings_table()) {
        if (setting.section != FactsOf<Facts>::section || !names_field(setting)) {
            continue;
        }
        const auto& table = FactsOf<Facts>::table;
        const auto fact = std::ranges::find(table, setting.key, &KnownFact<Facts>::field);
        m_fields.push_back({&setting, fact != table.end() ? &*fact : nullptr, named_field(setting, settings),
                            field_unit(setting, settings)});
    }
}

template <typename Facts>
std::vector<std::string> LayerFields<Facts>::names() const {
    std::vector<std::string> names;
    for (const Field& field : m_fields) {
        names.push_back(field.name);
    }
    return names;
}

template <typename Facts>
std::size_t LayerFields<Facts>::place(std::string_view key) const {
    const auto found = std::ranges::find(m_fields, key, [](const Field& field) { return field.setting->key; });
    if (found == m_fields.end()) {
        internal_error("a field that no setting names");
    }
    return static_cast<std::size_t>(found - m_fields.begin());
}

template <typename Facts>
std::optional<double> LayerFields<Facts>::number(std::size_t place, const std::string& text, NumberTexts& seen) const {
    if (text.find_first_not_of(" \t\r\n") == std::string::npos) {
        return std::nullopt;
    }
    const Field& field = m_fields[place];
    const SpelledNumber spelled = spelled_number(text);
    if (spelled.spelling == NumberSpelling::two_ways) {
        NumberTexts::add(seen.two_ways, place, text);
        return std::nullopt;
    }
    const auto number = plain_number_of(*field.fact, spelled.text, field.unit);
    if (!number) {
        NumberTexts::add(seen.unread, place, text);
    } else if (*number != 0.0 && !field.setting->values.holds(*number)) {
        NumberTexts::add(seen.beyond, place, text);
        return std::nullopt;
    } else if (spelled.spelling == NumberSpelling::restored) {
        NumberTexts::add(seen.restored, place, text);
    }
    return number;
}

template <typename Facts>
Facts LayerFields<Facts>::read(const std::vector<std::optional<std::string>>& values, NumberTexts& seen) const {
    Facts facts;
    for (std::size_t i = 0; i < m_fields.size(); ++i) {
        if (m_fields[i].fact == nullptr) {
            continue;
        }
        const auto& member = m_fields[i].fact->member;
        if (const auto* const text = std::get_if<std::optional<std::string> Facts::*>(&member)) {
            facts.** text = values.at(i);
        } else if (const auto& value = values.at(i)) {
            facts.*std::get<std::optional<double> Facts::*>(member) = number(i, *value, seen);
        }
    }
    return facts;
}

template <typename Facts>
std::vector<const KnownFact<Facts>*> LayerFields<Facts>::facts() const {
    std::vector<const KnownFact<Facts>*> facts;
    for (const Field& field : m_fields) {
        if (field.fact != nullptr) {
            facts.push_back(field.fact);
        }
    }
    return facts;
}

template class LayerFields<RoofFacts>;
template class LayerFields<ParcelFacts>;
template class LayerFields<ReachFacts>;

template <typename Facts>
const std::string& field_name(const KnownFact<Facts>& fact, const Settings& settings) {
    static const std::string kNone;
    if (fact.field.empty()) {
        return kNone;
    }
    const Setting* const setting = find_setting(FactsOf<Facts>::section, fact.field);
    if (setting == nullptr) {
        internal_error("a fact's field that no setting names");
    }
    return named_field(*setting, settings);
}

template const std::string& field_name(const KnownFact<RoofFacts>& fact, const Settings& settings);
template const std::string& field_name(const KnownFact<ParcelFacts>& fact, const Settings& settings);
template const std::string& field_name(const KnownFact<ReachFacts>& fact, const Settings& settings);

}  // namespace eaveshed
