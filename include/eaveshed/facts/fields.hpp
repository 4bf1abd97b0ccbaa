// Where the facts of a layer stand in its data: in the fields that the settings name.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/facts/table.hpp"

namespace eaveshed {

// The number of a fact in a text: alone, and then in `stated` or else in the fact's own unit, or with a unit of its
// own, which wins; a share also in percent. Spelled as core/number_spelling.hpp has it. In the fact's unit; none where
// the text holds no such number.
template <typename Facts>
[[nodiscard]] std::optional<double> number_of(const KnownFact<Facts>& fact, std::string_view text,
                                              const Unit* stated = nullptr);
extern template std::optional<double> number_of(const KnownFact<RoofFacts>& fact, std::string_view text,
                                                const Unit* stated);
extern template std::optional<double> number_of(const KnownFact<ParcelFacts>& fact, std::string_view text,
                                                const Unit* stated);

// What is noticed of the texts in fields of numbers, by the place of the field. Blank ones are not counted.
struct NumberTexts {
    struct OfField {
        std::uint64_t count = 0;
        std::string first;
    };
    using ByPlace = std::map<std::size_t, OfField>;

    ByPlace unread;    // no number
    ByPlace two_ways;  // a number that can be read in two ways: not read
    ByPlace restored;  // read, but written otherwise than with a decimal point alone
    ByPlace beyond;    // a number that the field's values cannot be: not used

    static void add(ByPlace& kind, std::size_t place, const std::string& text);
};

// The fields of one layer that the settings name: of each setting that takes one, in the order of the settings. The
// door where their numbers become SI.
template <typename Facts>
class LayerFields {
public:
    explicit LayerFields(const Settings& settings);

    // The fields to ask the layer for; empty where the settings name none.
    [[nodiscard]] std::vector<std::string> names() const;
    // Where the field of the setting with this key stands among them; an internal error for another key.
    [[nodiscard]] std::size_t place(std::string_view key) const;
    // The facts of a feature. `values`: of the fields `names`, in their order. A number that the field's values cannot
    // be (Setting::values) is none, but for 0, which many write for nothing known.
    [[nodiscard]] Facts read(const std::vector<std::optional<std::string>>& values, NumberTexts& seen) const;
    // The setting that names the field at a place.
    [[nodiscard]] const Setting& setting(std::size_t place) const { return *m_fields.at(place).setting; }
    // The facts that have a field, in the order of the settings.
    [[nodiscard]] std::vector<const KnownFact<Facts>*> facts() const;

private:
    struct Field {
        const Setting* setting = nullptr;
        const KnownFact<Facts>* fact = nullptr;  // none for an id
        std::string name;                        // in the layer; empty where the settings name none
        const Unit* unit = nullptr;              // of its plain numbers, where it holds a quantity
    };
    [[nodiscard]] std::optional<double> number(std::size_t place, const std::string& text, NumberTexts& seen) const;

    std::vector<Field> m_fields;
};

extern template class LayerFields<RoofFacts>;
extern template class LayerFields<ParcelFacts>;
extern template class LayerFields<ReachFacts>;

// The name of the field that holds a fact, as the settings give it; empty where they name none or it has no field.
template <typename Facts>
[[nodiscard]] const std::string& field_name(const KnownFact<Facts>& fact, const Settings& settings);
extern template const std::string& field_name(const KnownFact<RoofFacts>& fact, const Settings& settings);
extern template const std::string& field_name(const KnownFact<ParcelFacts>& fact, const Settings& settings);
extern template const std::string& field_name(const KnownFact<ReachFacts>& fact, const Settings& settings);

}  // namespace eaveshed
