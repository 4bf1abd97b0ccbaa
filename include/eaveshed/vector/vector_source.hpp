// Vector layers as plain features. The only door for vectors.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

class VectorSource final : public FeatureSource {
public:
    // `fields`: names wanted first (see begin). A missing layer or field, an empty selection, a missing CRS, a wrong
    // geometry type or a bad filter is an input error that lists what there is. `setting` is the section, e.g.
    // "footprints", or section and key where the key is not `source`; what it needs stands in its row
    // (settings/input_role.hpp).
    static VectorSource open(const std::string& setting, const LayerSource& from,
                             const std::vector<std::string>& fields, const std::string& where_filter,
                             Findings& findings);
    ~VectorSource() override;
    VectorSource(VectorSource&& other) noexcept;
    VectorSource& operator=(VectorSource&& other) noexcept;

    [[nodiscard]] const VectorInfo& info() const override;
    void begin(const std::vector<std::string>& fields) override;
    bool next(Feature& feature) override;

private:
    struct Impl;
    explicit VectorSource(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
