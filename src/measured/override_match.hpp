// Which footprints or parcels the rows of the overrides table mean. Private to the module.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/shape/box_index.hpp"

namespace eaveshed {

using OldOutlines = std::unordered_map<std::string, std::vector<MultiPolygon>>;
// The outlines that a layer of the earlier screening has for these ids, in its own CRS.
[[nodiscard]] OldOutlines old_outlines(const Layer& former, const char* id_field,
                                       const std::unordered_set<std::string>& ids);

// What one row looks for.
struct Sought {
    std::size_t entry = 0;  // number of the row in the table
    std::string id;
    MultiPolygon old_outline = {};  // in the layer's CRS; empty where it is not known
    bool several_outlines = false;  // the earlier screening knows the id more than once
};

// A footprint or parcel that some row could mean.
struct Candidate {
    std::uint32_t position = 0;
    std::string id;
    std::optional<MultiPolygon> outline;
};

struct Match {
    OverrideOutcome outcome = OverrideOutcome::no_match;
    std::optional<std::size_t> candidate;  // of those that apply
    std::string reason = {};
};

// Fed with a layer feature by feature; it keeps what some row could mean. Not thread-safe.
class LayerMatch {
public:
    // `noun`: what a feature of the layer is called in reasons.
    LayerMatch(std::vector<Sought> sought, std::string noun);

    // `outline` is asked only where it matters.
    void see(std::uint32_t position, const std::string& id,
             const std::function<std::optional<MultiPolygon>()>& outline);

    [[nodiscard]] const std::vector<Sought>& sought() const { return m_sought; }
    [[nodiscard]] const std::vector<Candidate>& candidates() const { return m_candidates; }
    // After the last feature.
    [[nodiscard]] Match match(std::size_t number);

private:
    // Positions among the candidates, in the order of the layer.
    struct Hits {
        std::vector<std::size_t> by_id;
        std::vector<std::size_t> by_place;
    };
    [[nodiscard]] std::optional<Match> by_id(const Sought& sought, const Hits& hits) const;
    [[nodiscard]] Match by_place(const Hits& hits);

    std::vector<Sought> m_sought;
    std::string m_noun;
    std::unordered_multimap<std::string, std::size_t> m_by_id;
    BoxIndex m_old_boxes;
    bool m_any_outline = false;
    std::vector<Candidate> m_candidates;
    std::vector<Hits> m_hits;
    GeometryKit m_kit;
};

}  // namespace eaveshed
