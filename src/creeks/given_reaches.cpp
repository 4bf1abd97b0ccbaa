#include "given_reaches.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "eaveshed/facts/fields.hpp"
#include "eaveshed/fieldbook/field_numbers.hpp"
#include "eaveshed/geometry/footprint_geometry.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/stream/given_lines.hpp"
#include "eaveshed/words/wording.hpp"
#include "own_ids.hpp"

namespace eaveshed {

namespace {

// How many ids a message shows.
constexpr std::size_t kShownIds = 8;

// Parts that begin where the one before ends are one line: many files keep a stream in pieces.
std::vector<Line> joined(std::vector<Line> parts) {
    std::vector<Line> lines;
    for (Line& part : parts) {
        if (!lines.empty() && !part.empty() && !lines.back().empty() && lines.back().back() == part.front()) {
            lines.back().insert(lines.back().end(), part.begin() + 1, part.end());
        } else {
            lines.push_back(std::move(part));
        }
    }
    return lines;
}

// Reads the lines and gives each an id that stands once.
class LineReader {
public:
    LineReader(const Settings& settings, const Inputs& inputs, Findings& findings)
        : m_layer(*inputs.layer("streams.source")),
          m_to_terrain(m_layer.info.crs, inputs.terrain().crs, m_layer.info.where),
          m_fields(settings),
          m_findings(findings) {}

    [[nodiscard]] std::vector<CreekReach> read() {
        FeatureSource& source = m_layer.features(m_fields.names());
        Feature feature;
        while (source.next(feature)) {
            take(feature);
            stop_if_requested();
        }
        tell();
        return std::move(m_reaches);
    }

private:
    void take(const Feature& feature) {
        const std::string id = id_of(feature, m_fields.place("id"));
        const ReachFacts facts = m_fields.read(feature.values, m_numbers);
        std::vector<Line> parts = joined(m_kit.lines(feature.wkb));
        bool any = false;
        for (Line& line : parts) {
            if (m_to_terrain.apply(line) && planar_length(line) > 0.0) {
                any = true;
                m_reaches.push_back({.id = m_ids.of(id),
                                     .name = facts.name.value_or(""),
                                     .line = std::move(line),
                                     .low_flow_lps = facts.low_flow_lps});
            }
        }
        if (!any) {
            m_unusable.push_back(id);
        }
    }

    void tell() const {
        const std::string& where = m_layer.info.where;
        if (!m_unusable.empty()) {
            m_findings.warn({where,
                             fmt::format("{} without a usable line: {}", counted(m_unusable.size(), "feature"),
                                         listed(m_unusable, kShownIds)),
                             "lines with a length", "they are no reaches, and tanks are not kept away from them"});
        }
        if (const auto& numbered = m_ids.numbered(); !numbered.empty()) {
            m_findings.warn({where,
                             fmt::format("{} with an id that stood before, or of several parts: {}",
                                         counted(numbered.size(), "line"), listed(numbered, kShownIds)),
                             "one line for each id",
                             "each is a reach of its own, named as here; give parts ids of their own, or name another "
                             "field in streams.id"});
        }
        report_numbers(m_fields, m_numbers, where, "stream line", m_findings);
    }

    const Layer& m_layer;
    Transform m_to_terrain;
    LayerFields<ReachFacts> m_fields;
    Findings& m_findings;
    GeometryKit m_kit;
    NumberTexts m_numbers;
    OwnIds m_ids;
    std::vector<CreekReach> m_reaches;
    std::vector<std::string> m_unusable;
};

// What is odd about a network, in words.
class NetworkReport {
public:
    NetworkReport(const std::vector<CreekReach>& reaches, const GivenNetwork& network, std::string where,
                  Findings& findings)
        : m_reaches(reaches), m_network(network), m_where(std::move(where)), m_findings(findings) {}

    void tell(const LineRules& rules) const {
        tell_rising(rules);
        tell_loops();
        tell_gaps(rules);
        tell_forks();
        tell_short_lines(rules);
        if (!m_network.joined_midway.empty()) {
            m_findings.note(
                {m_where,
                 fmt::format("{} on another between its ends: {}",
                             counted(m_network.joined_midway.size(), "line") + " ending", ids(m_network.joined_midway)),
                 "", "they flow into it: gains below and above the place count to the whole of that reach"});
        }
        if (!m_network.unjudged.empty()) {
            m_findings.note({m_where,
                             fmt::format("{} with an end beyond the elevations: {}",
                                         counted(m_network.unjudged.size(), "line"), ids(m_network.unjudged)),
                             "", "whether they run downhill is not known: their own direction counts"});
        }
    }

private:
    void tell_rising(const LineRules& rules) const {
        if (m_network.rising.empty()) {
            return;
        }
        const std::string found = fmt::format("{} higher than they begin, by more than {:g} m: {}",
                                              counted(m_network.rising.size(), "line") + " ending",
                                              rules.elevation_slack_m, ids(m_network.rising));
        if (m_network.turned) {
            m_findings.note({m_where, found, "", "they are turned, as streams.turn asks"});
        } else {
            m_findings.warn({m_where, found, "lines drawn in the direction of flow",
                             "turn them in the file, or set streams.turn = true; as they are, gains are added up the "
                             "wrong way round"});
        }
    }

    void tell_loops() const {
        if (m_network.loops.empty()) {
            return;
        }
        std::vector<std::string> words;
        for (const LineLoop& loop : m_network.loops) {
            words.push_back(fmt::format("{}, where {}", ids(loop.lines),
                                        loop.to == kNoReach ? id(loop.cut) + " is taken for an outlet"
                                                            : id(loop.cut) + " then flows into " + id(loop.to)));
        }
        m_findings.warn({m_where,
                         fmt::format("lines that flow round in a circle, {}: {}", counted(words.size(), "circle"),
                                     joined_words(words)),
                         "lines that lead down to an outlet", "mend them; until then the gains go as named here"});
    }

    void tell_gaps(const LineRules& rules) const {
        if (m_network.gaps.empty()) {
            return;
        }
        std::vector<std::string> words;
        for (const LineGap& gap : m_network.gaps) {
            words.push_back(fmt::format("{} ({:.1f} m from {})", printable(m_reaches[gap.line].id, 40), gap.distance_m,
                                        printable(m_reaches[gap.other].id, 40)));
        }
        m_findings.warn(
            {m_where,
             fmt::format("{} nowhere, with another at most {:g} m away: {}",
                         counted(m_network.gaps.size(), "line") + " ending", rules.gap_m, listed(words, kShownIds)),
             "lines that meet", "join them in the file, or set streams.join_m; until then nothing flows over the gap"});
    }

    void tell_forks() const {
        if (m_network.forks.empty()) {
            return;
        }
        std::vector<std::string> words;
        for (const LineFork& fork : m_network.forks) {
            words.push_back(ids(fork.arms));
        }
        m_findings.note({m_where,
                         fmt::format("{} into several lines: {}", counted(m_network.forks.size(), "place") + " parting",
                                     joined_words(words)),
                         "", "the whole flow goes into the first of them, so that nothing counts twice"});
    }

    void tell_short_lines(const LineRules& rules) const {
        if (!m_network.short_lines.empty()) {
            m_findings.warn(
                {m_where,
                 fmt::format("{} no longer than the {:g} m within which ends are joined: {}",
                             counted(m_network.short_lines.size(), "line"), rules.join_m, ids(m_network.short_lines)),
                 "lines longer than streams.join_m",
                 "lower streams.join_m: chains of such lines run together at one place, and what meets "
                 "there need not meet on the ground"});
        }
    }

    [[nodiscard]] static std::string joined_words(const std::vector<std::string>& words) {
        std::string text;
        for (std::size_t i = 0; i < std::min(words.size(), kShownIds); ++i) {
            text += (i == 0 ? "" : "; ") + words[i];
        }
        return words.size() > kShownIds ? fmt::format("{}; and {} more", text, words.size() - kShownIds) : text;
    }
    [[nodiscard]] std::string id(std::uint32_t reach) const { return printable(m_reaches[reach].id, 60); }
    [[nodiscard]] std::string ids(const std::vector<std::uint32_t>& reaches) const {
        std::vector<std::string> ids;
        ids.reserve(reaches.size());
        for (const std::uint32_t reach : reaches) {
            ids.push_back(m_reaches[reach].id);
        }
        return listed(ids, kShownIds);
    }

    const std::vector<CreekReach>& m_reaches;
    const GivenNetwork& m_network;
    std::string m_where;
    Findings& m_findings;
};

LineRules rules_of(const StreamSettings& settings) {
    return {.join_m = settings.join_m,
            .gap_m = settings.gap_m,
            .elevation_slack_m = settings.elevation_slack_m,
            .turn = settings.turn};
}

}  // namespace

ReachList given_reaches(const Project& project, const Inputs& inputs, const std::function<double(Point)>& elevation_m,
                        Findings& findings) {
    std::vector<CreekReach> reaches = LineReader(project.resolved, inputs, findings).read();
    Box around;
    for (const CreekReach& reach : reaches) {
        around.add(bounds(reach.line));
    }
    // In degrees the metres are those of the lines' own place, wherever in the elevations they lie.
    const LocalFrame frame = terrain_metric(inputs).frame_at(around.middle());
    std::vector<GivenLine> lines;
    lines.reserve(reaches.size());
    for (const CreekReach& reach : reaches) {
        lines.push_back({frame.to_metres(reach.line), elevation_m(reach.line.front()), elevation_m(reach.line.back())});
    }
    const LineRules rules = rules_of(project.resolved.streams);
    GivenNetwork network = network_of(lines, rules);
    NetworkReport(reaches, network, inputs.layer("streams.source")->info.where, findings).tell(rules);
    for (std::uint32_t i = 0; i < reaches.size(); ++i) {
        reaches[i].line = as_turned(network, i, std::move(reaches[i].line));
    }
    return {std::move(reaches), std::move(network.tree)};
}

}  // namespace eaveshed
