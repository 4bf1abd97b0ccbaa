#include "override_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "eaveshed/progress/progress.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kMostNamed = 5;

}  // namespace

OldOutlines old_outlines(const Layer& former, const char* id_field, const std::unordered_set<std::string>& ids) {
    OldOutlines outlines;
    FeatureSource& source = former.features({id_field});
    GeometryKit kit;
    Feature feature;
    while (source.next(feature)) {
        const auto& id = feature.values.front();
        if (!id || !ids.contains(*id)) {
            continue;
        }
        if (auto shape = kit.polygons(feature.wkb)) {
            outlines[*id].push_back(std::move(shape->outline));
        }
        stop_if_requested();
    }
    return outlines;
}

LayerMatch::LayerMatch(std::vector<Sought> sought, std::string noun)
    : m_sought(std::move(sought)), m_noun(std::move(noun)), m_hits(m_sought.size()) {
    std::vector<Box> boxes;
    boxes.reserve(m_sought.size());
    for (std::size_t i = 0; i < m_sought.size(); ++i) {
        m_by_id.emplace(m_sought[i].id, i);
        boxes.push_back(bounds(m_sought[i].old_outline));
        m_any_outline = m_any_outline || !m_sought[i].old_outline.empty();
    }
    m_old_boxes = BoxIndex(boxes);
}

void LayerMatch::see(std::uint32_t position, const std::string& id,
                     const std::function<std::optional<MultiPolygon>()>& outline) {
    const auto [begin, end] = m_by_id.equal_range(id);
    if (begin == end && !m_any_outline) {
        return;
    }
    Candidate candidate{position, id, outline()};
    const std::size_t place = m_candidates.size();
    bool wanted = begin != end;
    if (candidate.outline) {
        for (const std::uint32_t i : m_old_boxes.query(bounds(*candidate.outline))) {
            if (m_kit.same_place(m_sought[i].old_outline, *candidate.outline)) {
                m_hits[i].by_place.push_back(place);
                wanted = true;
            }
        }
    }
    for (auto it = begin; it != end; ++it) {
        m_hits[it->second].by_id.push_back(place);
    }
    if (wanted) {
        m_candidates.push_back(std::move(candidate));
    }
}

// None where the id says nothing: nobody has it, or those who have it stand elsewhere than the old outline.
std::optional<Match> LayerMatch::by_id(const Sought& sought, const Hits& hits) const {
    std::vector<std::size_t> meant = hits.by_id;
    if (!sought.old_outline.empty()) {
        std::erase_if(meant, [&](std::size_t i) { return !std::ranges::binary_search(hits.by_place, i); });
    }
    if (meant.empty()) {
        return std::nullopt;
    }
    if (meant.size() > 1) {
        return Match{OverrideOutcome::ambiguous, std::nullopt,
                     fmt::format("{} {}s have this id", meant.size(), m_noun)};
    }
    return Match{OverrideOutcome::applied, meant.front()};
}

Match LayerMatch::by_place(const Hits& hits) {
    std::vector<std::size_t> meant;
    std::vector<std::string> forms;  // a footprint that stands in the layer twice is one
    for (const std::size_t i : hits.by_place) {
        std::string form = m_kit.normal_form(*m_candidates[i].outline);
        if (std::ranges::find(forms, form) == forms.end()) {
            forms.push_back(std::move(form));
            meant.push_back(i);
        }
    }
    if (meant.size() == 1) {
        return {OverrideOutcome::carried, meant.front(), fmt::format("it lies where the old {} lay", m_noun)};
    }
    if (meant.empty()) {
        return {OverrideOutcome::no_match, std::nullopt,
                fmt::format("no {} shares more than half of the smaller area with the old outline", m_noun)};
    }
    std::vector<std::string> names;
    names.reserve(meant.size());
    for (const std::size_t i : meant) {
        names.push_back(m_candidates[i].id);
    }
    return {OverrideOutcome::ambiguous, std::nullopt,
            fmt::format("{} {}s lie where the old one lay: {}", meant.size(), m_noun, listed(names, kMostNamed))};
}

Match LayerMatch::match(std::size_t number) {
    const Sought& sought = m_sought.at(number);
    const Hits& hits = m_hits[number];
    if (sought.several_outlines) {
        return {OverrideOutcome::ambiguous, std::nullopt,
                fmt::format("several {}s of the earlier screening have this id", m_noun)};
    }
    if (const auto named = by_id(sought, hits)) {
        return *named;
    }
    if (!sought.old_outline.empty()) {
        return by_place(hits);
    }
    return {OverrideOutcome::no_match, std::nullopt,
            fmt::format("no {} has this id, and nothing is known of the old outline", m_noun)};
}

}  // namespace eaveshed
