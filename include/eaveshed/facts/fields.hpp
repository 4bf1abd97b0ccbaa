// Where the facts of a layer stand in its data: in the fields that the settings name.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/facts/table.hpp"

namespace eaveshed {

// A number in a field's text; none where it holds no number.
using NumberReader = std::optional<double> (*)(const std::optional<std::string>& text);

// The fields of one layer that the settings name: of each setting that takes one, in the order of the settings.
template <typename Facts>
class LayerFields {
public:
    LayerFields();

    // The fields to ask the layer for; empty where the settings name none.
    [[nodiscard]] std::vector<std::string> names(const Settings& settings) const;
    // Where the field of the setting with this key stands among them; an internal error for another key.
    [[nodiscard]] std::size_t place(std::string_view key) const;
    // The facts of a feature. `values`: of the fields `names`, in their order. Numbers are taken as they are, whatever
    // the range of measured ones.
    [[nodiscard]] Facts read(const std::vector<std::optional<std::string>>& values, NumberReader number) const;
    // The facts that have a field, in the order of the settings.
    [[nodiscard]] std::vector<const KnownFact<Facts>*> facts() const;

private:
    struct Field {
        const Setting* setting = nullptr;
        const KnownFact<Facts>* fact = nullptr;  // none for an id
    };
    std::vector<Field> m_fields;
};

extern template class LayerFields<RoofFacts>;
extern template class LayerFields<ParcelFacts>;

// The name of the field that holds a fact, as the settings give it; empty where they name none or it has no field.
template <typename Facts>
[[nodiscard]] const std::string& field_name(const KnownFact<Facts>& fact, const Settings& settings);
extern template const std::string& field_name(const KnownFact<RoofFacts>& fact, const Settings& settings);
extern template const std::string& field_name(const KnownFact<ParcelFacts>& fact, const Settings& settings);

}  // namespace eaveshed
