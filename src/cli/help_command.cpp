#include "eaveshed/cli/help_command.hpp"

#include <algorithm>
#include <array>
#include <ostream>
#include <span>
#include <string>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/core/spelling.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/letter/letters.hpp"
#include "eaveshed/manual/print.hpp"
#include "eaveshed/plausible/print_checks.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

constexpr std::array kCommands{
    Term{"check PROJECT.toml", "opens every input, says what was understood and what is wrong; computes nothing"},
    Term{"screen PROJECT.toml", "screens every roof and writes the GeoPackage"},
    Term{"split PROJECT.toml --parts N -o DIR", "plans the screening in parts, to be computed on many machines"},
    Term{"screen --part DIR K", "computes one of them"},
    Term{"gather DIR -o OUT.gpkg", "writes the GeoPackage that screen would have written, from all parts"},
    Term{"summary OUT.gpkg", "the page that screen ends with, from a finished file"},
    Term{"explain OUT.gpkg --roof ID | --parcel ID",
         "every step, number and setting behind one row, recomputed and compared"},
    Term{"rank OUT.gpkg", "ranks the parcels again with other weights or by a scenario, and writes call lists"},
    Term{"enrol OUT.gpkg", "whom to enrol for a budget, or for a target of stream gain at the least cost"},
    Term{"report OUT.gpkg -o DIR",
         "pages for people without a GIS: map, charts, list; sheets; letters; a page for all"},
    Term{"styles OUT.gpkg -o DIR", "the look of the layers as OGC SLD files"},
    Term{"compare A.gpkg B.gpkg", "what changed between two screenings, row by row, and why"},
    Term{"settings [--markdown]", "every setting of a project file: unit, default, range, meaning, source"},
    Term{"rules [--markdown]", "where tanks can stand: every rule, its limit, and what a visit settles"},
    Term{"columns [TABLE] [--markdown]", "every table and column of the output: unit, who fills it, meaning, words"},
    Term{"help [TOPIC]", "this page, or one topic"},
};

// Names in a column as wide as the widest, meanings beside them.
void print_terms(std::ostream& out, std::span<const Term> terms) {
    std::size_t width = 0;
    for (const Term& term : terms) {
        width = std::max(width, term.name.size());
    }
    for (const Term& term : terms) {
        out << "  " << term.name << std::string(width - term.name.size() + 2, ' ') << term.meaning << '\n';
    }
}

void print_statuses(std::ostream& out) {
    out << "Every row of the output has a status. The first that applies stands; rows with a status other than ok\n"
           "keep their plan area where there is one, and all other numbers are null.\n\n";
    print_terms(out, terms_of<Status>());
}

void print_flags(std::ostream& out) {
    out << "Flags say how a row's numbers came about: what was assumed, missing or out of the ordinary. A row may "
           "have\n"
           "several, sorted and joined by commas.\n\n";
    print_terms(out, terms_of<Flag>());
}

void print_reasons(std::ostream& out) {
    out << "Why a roof has no pad (no_pad_reason): the rule that removed most places around it, in the order in which\n"
           "the rules are applied.\n\n";
    print_terms(out, terms_of<PadReason>());
}

// The lists without a topic of their own.
void print_classes(std::ostream& out) {
    const std::array others{closed_list<Status>().name, closed_list<PadReason>().name,
                            closed_list<OverrideOutcome>().name};
    const char* gap = "";
    for (const ClosedList& list : kOutputLists) {
        if (std::ranges::find(others, list.name) == others.end()) {
            out << gap << list.name << ": " << list.meaning << ".\n\n";
            print_terms(out, list.terms);
            gap = "\n";
        }
    }
}

void print_exit_codes(std::ostream& out) {
    const std::string working = std::to_string(static_cast<int>(Fault::working));
    const std::string input = std::to_string(static_cast<int>(Fault::input));
    const std::string internal = std::to_string(static_cast<int>(Fault::internal));
    const std::string passing = std::to_string(static_cast<int>(Fault::passing));
    const std::array terms{
        Term{"0", "done; rows with a status other than ok are counted, not failures"},
        Term{working, "a fault while working: data that could not be read or written, a log (--log) among them"},
        Term{input, "wrong words, settings or inputs, found before work starts"},
        Term{internal, "an internal error: a defect of the program; please report it"},
        Term{passing, "a passing trouble worth a retry: a locked file, no room left while working"},
        Term{"130", "stopped by an interrupt (Ctrl-C); screen --resume goes on from there"},
        Term{"143", "stopped by a request to end (SIGTERM); screen --resume goes on from there"},
    };
    out << "What the program returns to the shell. With any code but 0 nothing half-written stands under the output's\n"
           "name. A log that fails stops no work: the result stands, and the code says that the log is not whole.\n\n";
    print_terms(out, terms);
}

void print_formats(std::ostream& out) {
    const std::array formats{
        Term{"polygons, lines, points", formats_of(InputKind::layer).words},
        Term{"elevation, surface", formats_of(InputKind::raster).words},
        Term{"rain, ET0, temperature", "netCDF by the CF conventions, and the formats of elevation"},
        Term{"project file", "TOML, UTF-8; `eaveshed settings` describes it"},
        Term{"output", "OGC GeoPackage 1.3"},
    };
    out << "What can be read and what is written. A file is known by its content, not by the end of its name. Every\n"
           "raster and layer has to say its coordinate reference system.\n\n";
    print_terms(out, formats);
    out << "\nGeoTIFF rasters and FlatGeobuf layers may also lie behind an address, https://HOST/PATH, of a server "
           "that\n"
           "gives parts of a file: --allow-network HOST lets them be read from there (docs/scale.md).\n";
    out << "\nRain may be one file with a band for each step or many files in the order of time. Its unit is read "
           "from\n"
           "the file where it says, else from rain.unit:\n\n";
    const auto& choice = std::get<ChoiceReach>(find_setting("rain", "unit")->access);
    print_terms(out, choice.terms.subspan(choice.first));
}

void print_units(std::ostream& out) {
    out << "A setting whose name ends in a unit takes a number in that unit, or text with a number and any unit of "
           "the\n"
           "same kind: max_fill_m = \"200 ft\", volume_m3 = \"5000 gal\". Numbers have a decimal point and no "
           "thousands\n"
           "separators; upper and lower case are the same.\n\n"
           "A setting that names a field of quantities (eave_height, season_use_m3 and others: `eaveshed settings` "
           "has\n"
           "a unit beside them) takes the field's name where its numbers are in that unit, else the name with what "
           "they\n"
           "are in: season_use_m3 = { field = \"use_gal\", unit = \"gal\" }. A value of the field that is text with a\n"
           "number and a unit, such as \"250000 gal\" or \"8.5 ft\", is taken in its own unit. The same holds of the\n"
           "cells of measured values (`eaveshed help overrides`). Text that is neither is not known, and is told.\n";
    std::size_t width = 0;
    for (const Unit& unit : units()) {
        width = std::max(width, unit.name().size());
    }
    const Unit* previous = nullptr;
    for (const Unit& unit : units()) {
        if (previous == nullptr || previous->dimension != unit.dimension) {
            out << '\n' << to_text(unit.dimension) << '\n';
        }
        out << "  " << unit.name() << std::string(width - unit.name().size() + 2, ' ') << unit.meaning;
        std::string others;
        for (const std::string_view name : std::span(unit.names).subspan(1)) {
            others += name.empty() ? std::string{} : fmt::format("{}{}", others.empty() ? "; also " : ", ", name);
        }
        out << others << '\n';
        previous = &unit;
    }
}

void print_letters(std::ostream& out) {
    out << letter_help();
}

void print_overrides(std::ostream& out) {
    out << "The table of measured values (overrides.source): a CSV with a line of titles, or a layer. Each row names "
           "a\n"
           "roof (roof_id) or a parcel (parcel_id), and holds what was measured there; empty cells change nothing.\n"
           "Columns are known by name, in any order and case; date, who and note may stand there and change nothing.\n"
           "x and y are in the layer's coordinate reference system, of a CSV in that of the footprints. Columns whose\n"
           "name ends in a unit take numbers in it, or text with another unit: \"8.5 ft\", \"250000 gal\" (`eaveshed "
           "help\n"
           "units`).\n\n";
    for (const MeasuredColumn& column : measured_columns()) {
        out << fmt::format("  {:<21}{:<8}{}\n", column.name, column.noun, column.meaning);
    }
    out << "\nWhat becomes of each row (table overrides of the output, column outcome):\n\n";
    print_terms(out, terms_of<OverrideOutcome>());
}

struct Topic {
    std::string_view name;
    std::string_view meaning;
    void (*print)(std::ostream& out);
};

constexpr std::array kTopics{
    Topic{"statuses", "what the status of a row says", print_statuses},
    Topic{"flags", "what the flags of a row say", print_flags},
    Topic{"reasons", "why a roof has no pad", print_reasons},
    Topic{"classes", "what the coded columns say: delivery, gravity_check, limited_by and others", print_classes},
    Topic{"inputs", "what a project reads, and what its absence means", print_inputs},
    Topic{"checks", "what check asks of inputs that may hardly be meant, and how to accept it", print_checks},
    Topic{"overrides", "the table of measured values", print_overrides},
    Topic{"letters", "the fields of a letter's template", print_letters},
    Topic{"exit-codes", "what the program returns to the shell", print_exit_codes},
    Topic{"formats", "files that can be read and written", print_formats},
    Topic{"units", "units that settings, fields and measured values accept", print_units},
};

void print_overview(std::ostream& out) {
    out << "eaveshed screens every roof of a basin for winter storage that replaces summer diversion from streams.\n\n"
           "Commands (eaveshed COMMAND --help tells their options):\n\n";
    print_terms(out, kCommands);
    out << "\nTopics (eaveshed help TOPIC):\n\n";
    std::vector<Term> topics;
    topics.reserve(kTopics.size());
    for (const Topic& topic : kTopics) {
        topics.push_back({topic.name, topic.meaning});
    }
    print_terms(out, topics);
}

}  // namespace

std::vector<std::string_view> help_topics() {
    std::vector<std::string_view> names;
    names.reserve(kTopics.size());
    for (const Topic& topic : kTopics) {
        names.push_back(topic.name);
    }
    return names;
}

int print_help(std::ostream& out, std::string_view topic) {
    if (topic.empty()) {
        print_overview(out);
        return 0;
    }
    const auto* found = std::ranges::find(kTopics, topic, &Topic::name);
    if (found != kTopics.end()) {
        found->print(out);
        return 0;
    }
    const auto names = help_topics();
    const std::string_view nearest = closest_name(topic, names);
    throw input_error(
        "help", fmt::format("\"{}\"", topic), fmt::format("one of the topics {}", fmt::join(names, ", ")),
        nearest.empty() ? "`eaveshed help` lists commands and topics" : fmt::format("did you mean {}?", nearest));
}

}  // namespace eaveshed
