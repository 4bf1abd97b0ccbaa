#include "basin_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "eaveshed/record/ask_first.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kShortId = 24;       // bytes that stand in one line
constexpr std::size_t kMostRows = 10'000;  // beyond, a spreadsheet serves better

template <typename Enum>
std::string words_of(const std::optional<Enum>& value) {
    return value ? spaced(to_text(*value)) : std::string("-");
}

std::string percent_text(const std::optional<double>& share) {
    return share ? fmt::format("{:.0f} %", 100.0 * *share) : std::string("-");
}

std::string number_or_dash(const QuantityText& units, std::string_view si_unit, const std::optional<double>& value) {
    return value ? units.number(si_unit, value) : std::string("-");
}

std::string money_text(const std::optional<double>& amount) {
    constexpr int kFigures = 3;
    return amount ? with_figures(*amount, kFigures) : std::string("-");
}

class BasinList {
public:
    BasinList(const BasinRows& rows, const std::vector<SheetLink>& sheets)
        : m_facts(rows.facts),
          m_units(rows.facts.settings.output.units),
          m_asked(rows.can_be_asked()),
          m_ranked(rows.facts.of_parcels()),
          m_steadiness(steadiness_says(rows.facts, m_asked.size())) {
        for (const SheetLink& sheet : sheets) {
            m_sheets.emplace(sheet.parcel_id, sheet.file);
        }
    }

    void fill(PageValues& page) const {
        page.text("LIST_TITLE", m_ranked ? "Whom to call first" : "Roofs with a place for a tank");
        page.text("CURRENCY", m_facts.settings.cost.currency.empty()
                                  ? std::string()
                                  : ", " + printable(m_facts.settings.cost.currency, 20));
        page.text("TOP", std::to_string(m_facts.settings.rank.top));
        if (m_asked.empty()) {
            page.text("LIST_TEXT", "Nobody can be asked who would replace anything.");
            return;
        }
        page.text("LIST_TEXT", list_text());
        PageValues list = page.add("LIST");
        if (m_ranked) {
            PageValues head = list.add("LIST_RANKED_HEAD");
            if (m_steadiness) {
                head.show("LIST_STEADY_HEAD");
            }
            list.show("LIST_ASK_HEAD");
        }
        for (const Term& term : terms_of<Delivery>()) {
            if (std::ranges::any_of(m_asked, [&](const PlaceRow* place) {
                    return place->delivery && to_text(*place->delivery) == term.name;
                })) {
                PageValues choice = list.add("LIST_DELIVERY");
                choice.text("DELIVERY_WORD", term.name);
                choice.text("DELIVERY_NAME", spaced(term.name));
            }
        }
        for (std::size_t i = 0; i < std::min(kMostRows, m_asked.size()); ++i) {
            fill_row(list, *m_asked[i]);
        }
    }

private:
    [[nodiscard]] std::string list_text() const {
        const std::string cut = m_asked.size() > kMostRows
                                    ? fmt::format(" Of {} the first {}; the call list holds all (eaveshed rank).",
                                                  m_asked.size(), kMostRows)
                                    : std::string();
        if (!m_ranked) {
            return fmt::format(
                "Without parcels nobody is ranked: roofs in the order of what the creek would gain, then "
                "of volume.{}",
                cut);
        }
        return fmt::format(
            "Score: 0 to 1, made of {}. Adds: what is replaced each season beyond storage that stands already; creek: "
            "what of it the creek feels, mean of {}. Delivery: by the elevations as they are; no pump?: with their "
            "error, "
            "whether gravity alone fills and feeds.{}{} Names and telephones are never here: call lists hold them "
            "(eaveshed rank).",
            weights_text(m_facts), month_words(m_facts),
            m_steadiness
                ? fmt::format(" Stays in: share of {} draws of the uncertain inputs.", m_facts.settings.rank.draws)
                : std::string(),
            cut);
    }
    void fill_row(PageValues& list, const PlaceRow& place) const {
        PageValues row = list.add("ROW");
        row.text("ROW_ID", place.id);
        row.text("ROW_ID_CLASS", place.id.size() > kShortId ? "long" : "id");
        if (const auto sheet = m_sheets.find(place.id); sheet != m_sheets.end()) {
            row.text_part("ROW_SHEET", "ROW_SHEET_FILE", sheet->second);
        }
        const std::string anchor = map_anchor(place);
        if (anchor.empty()) {
            row.show("ROW_PLAIN");
        } else {
            row.add("ROW_LINK").text("ROW_ANCHOR", anchor);
        }
        row.text("ROW_STORAGE", place.storage_m3 ? fmt::format("{:.1f}", *place.storage_m3) : "");
        row.text("ROW_TANKS", tanks_text(m_units, place.storage_m3, place.tank_count));
        row.text("ROW_ADDS", number_or_dash(m_units, "m3", place.added_m3));
        row.text("ROW_ADDS_VALUE", place.added_m3 ? fmt::format("{:.3f}", *place.added_m3) : "");
        row.text("ROW_CREEK", place.source_known ? number_or_dash(m_units, "L/s", place.added_lps) : "not known");
        row.text("ROW_DELIVERY", words_of(place.delivery));
        row.text("ROW_DELIVERY_WORD", place.delivery ? to_text(*place.delivery) : std::string_view());
        row.text("ROW_GRAVITY", words_of(place.gravity_check));
        if (m_ranked) {
            PageValues more = row.add("ROW_RANKED");
            more.text("ROW_RANK", place.rank ? std::to_string(*place.rank) : "-");
            more.text("ROW_SCORE", place.score ? fmt::format("{:.2f}", *place.score) : "-");
            more.text("ROW_COST", money_text(place.cost));
            more.text("ROW_COST_PER", money_text(m_units.price_per("m3", place.cost_per_m3)));
            if (m_steadiness) {
                more.add("ROW_STEADY").text("ROW_STAYS", percent_text(place.rank_stability));
            }
            const std::string question = first_question(place.ask_first);
            row.add("ROW_QUESTION").text("ROW_ASK", question.empty() ? "-" : question);
        }
    }

    const SummaryFacts& m_facts;
    QuantityText m_units;
    std::vector<const PlaceRow*> m_asked;
    bool m_ranked;                                          // parcels; roofs are not
    bool m_steadiness;                                      // whether it says anything
    std::map<std::string_view, std::string_view> m_sheets;  // file by parcel
};

}  // namespace

void fill_list(PageValues& page, const BasinRows& rows, const std::vector<SheetLink>& sheets) {
    BasinList(rows, sheets).fill(page);
}

}  // namespace eaveshed
