#include "eaveshed/publish/coverage.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

class Coverage {
public:
    Coverage(const RunCounts& counts, Findings& findings) : m_counts(counts), m_findings(findings) {}

    [[nodiscard]] std::uint64_t flagged(Flag flag) const {
        return m_counts.by_flag().at(static_cast<std::size_t>(flag));
    }
    // Nothing for none; a note where few are concerned, which their rows tell. `of`: how many could have been.
    void tell(const std::string& where, std::uint64_t concerned, std::uint64_t of, const std::string& things,
              const Trouble& words) const {
        m_findings.tell(concerned, of,
                        {where, fmt::format("{} of {}: {}", concerned, counted(of, things), words.found), words.wanted,
                         words.remedy});
    }
    // The same of roofs.
    void tell(const std::string& where, std::uint64_t roofs, std::uint64_t of, const std::string& found,
              const std::string& wanted, const std::string& remedy) const {
        tell(where, roofs, of, "roof", {"", found, wanted, remedy});
    }
    // A field that was named and in which no computed roof had a value that means anything.
    void warn_of_field(const std::string& where, const std::string& setting, const std::string& field, Flag flag,
                       const std::string& remedy) const {
        const std::uint64_t computed = m_counts.computed().roofs;
        if (!field.empty() && computed > 0 && flagged(flag) == computed) {
            m_findings.warn({where, fmt::format("no known value in the field \"{}\" ({}) for any roof", field, setting),
                             "values that are known for some roofs", remedy});
        }
    }

private:
    const RunCounts& m_counts;
    Findings& m_findings;
};

// Of the facts of one layer, those whose field tells nothing.
template <typename Facts>
void report_fields(const Project& project, const VectorInfo& layer, const Coverage& cover) {
    for (const KnownFact<Facts>* const fact : LayerFields<Facts>(project.settings).facts()) {
        if (fact->assumed && !fact->when_none.empty()) {
            cover.warn_of_field(layer.where, fmt::format("{}.{}", FactsOf<Facts>::section, fact->field),
                                field_name(*fact, project.settings), *fact->assumed, std::string(fact->when_none));
        }
    }
}

}  // namespace

void report_coverage(const Project& project, const Inputs& inputs, const RunCounts& counts, Findings& findings) {
    const Coverage cover(counts, findings);
    const std::uint64_t computed = counts.computed().roofs;
    if (const std::uint64_t damaged = cover.flagged(Flag::read_error); damaged > 0) {
        findings.warn(
            {inputs.terrain().where,
             fmt::format("{} over blocks of the elevations, surface or canopy that cannot be read (flag "
                         "read_error)",
                         counted(damaged, "roof")),
             "files that are whole",
             "get the file again, it is damaged or cut short: the places of tanks at these roofs mean nothing"});
    }
    cover.tell(inputs.terrain().where, cover.flagged(Flag::no_elevation), computed, "no elevation (flag no_elevation)",
               "elevations for the whole basin",
               "add the missing part: these rows have rain, harvest and storage, and no place for a tank");
    cover.tell(inputs.rain->where, counts.by_status().at(static_cast<std::size_t>(Status::no_rain)), counts.rows(),
               "no rain (status no_rain)", "rain for the whole basin",
               inputs.rain->gauges ? "use gauges with longer records: no tank year of these has 95 % of its days"
                                   : "use a grid that covers it");
    if (const Layer* const parcels = inputs.layer("parcels.source")) {
        const std::string& where = parcels->info.where;
        cover.tell(where, counts.without_parcel(), computed, "in no parcel", "a parcel around every roof",
                   "each of them is taken as a property of its own: check the parcels if these are many");
        cover.tell(
            where, counts.cut_parcels(), counts.parcels(), "parcel",
            {"", "cut by the edge of the elevations (inside_share below 1)", "elevations as far as the parcels reach",
             "use a raster that reaches farther: roofs and places for tanks beyond its edge were not seen"});
    }
    report_fields<RoofFacts>(project, inputs.footprints().info, cover);
    if (const Layer* const parcels = inputs.layer("parcels.source")) {
        report_fields<ParcelFacts>(project, parcels->info, cover);
    }
}

void report_streams(const Inputs& inputs, const Creeks& creeks, const Subbasins& subbasins,
                    const StreamAccounts& streams, Findings& findings) {
    const std::string& where = inputs.terrain().where;
    if (inputs.layer("parcels.source") == nullptr && (!creeks.empty() || subbasins.size() > 0)) {
        findings.note({inputs.footprints().info.where,
                       "no parcels: reaches and sub-basins count the gains of parcels only", "parcels",
                       "give [parcels] to have their sums; roofs still tell their own reach and sub-basin"});
    }
    if (creeks.ways() == nullptr) {
        return;  // the nearest is what was asked for
    }
    const NearestEntries& roofs = streams.entries_of_roofs();
    const NearestEntries& parcels = streams.entries_of_parcels();
    const std::string of_parcels =
        parcels.number == 0 ? "" : fmt::format(" and {} of {}", parcels.nearest, counted(parcels.number, "parcel"));
    findings.tell(roofs.nearest + parcels.nearest, roofs.number + parcels.number,
                  {where,
                   fmt::format("{} of {}{}: their water meets no reach on its way over the ground, and the nearest was "
                               "taken, up to {:.0f} m away",
                               roofs.nearest, counted(roofs.number, "roof"), of_parcels,
                               std::max(roofs.farthest_m, parcels.farthest_m)),
                   "ground that leads their water to a stream",
                   "give [diversions], or elevations that reach farther (columns reach_entry, reach_distance_m)"});
}

Error strict_error(const Project& project, const Findings& findings, Fault fault) {
    return {fault,
            {project.file, counted(findings.count(Severity::warning), "warning") + ", above", "none (--strict)",
             "mend them, or run without --strict"}};
}

}  // namespace eaveshed
