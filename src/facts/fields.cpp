#include "eaveshed/facts/fields.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

const std::string& text_of(const Setting& setting, const Settings& settings) {
    return std::get<Reach<std::string>>(setting.access).get(settings, 0);
}

}  // namespace

template <typename Facts>
LayerFields<Facts>::LayerFields() {
    for (const Setting& setting : settings_table()) {
        if (setting.section != FactsOf<Facts>::section || setting.kind != Kind::field) {
            continue;
        }
        const auto& table = FactsOf<Facts>::table;
        const auto fact = std::ranges::find(table, setting.key, &KnownFact<Facts>::field);
        m_fields.push_back({&setting, fact != table.end() ? &*fact : nullptr});
    }
}

template <typename Facts>
std::vector<std::string> LayerFields<Facts>::names(const Settings& settings) const {
    std::vector<std::string> names;
    for (const Field& field : m_fields) {
        names.push_back(text_of(*field.setting, settings));
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
Facts LayerFields<Facts>::read(const std::vector<std::optional<std::string>>& values, NumberReader number) const {
    Facts facts;
    for (std::size_t i = 0; i < m_fields.size(); ++i) {
        if (m_fields[i].fact == nullptr) {
            continue;
        }
        const auto& member = m_fields[i].fact->member;
        if (const auto* const text = std::get_if<std::optional<std::string> Facts::*>(&member)) {
            facts.** text = values.at(i);
        } else {
            facts.*std::get<std::optional<double> Facts::*>(member) = number(values.at(i));
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
    return text_of(*setting, settings);
}

template const std::string& field_name(const KnownFact<RoofFacts>& fact, const Settings& settings);
template const std::string& field_name(const KnownFact<ParcelFacts>& fact, const Settings& settings);

}  // namespace eaveshed
