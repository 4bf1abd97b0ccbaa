// Pages from templates: the only way in which this program makes HTML. The templates' library (ctemplate, in its mode
// that escapes every value for the place where it stands) knows text, attributes and addresses apart, so that no value
// can become markup or script.
//
// In a template `{{NAME}}` is a value, `{{#PART}} ... {{/PART}}` a part that stands once for each time it was added (or
// not at all). `{{MARKUP_NAME:none}}` takes markup that this program made itself, such as a drawing: no other name may
// have `:none` behind it. A template begins with no mark of its own; page() adds the one that turns escaping on.
//
//     PageValues values;
//     values.text("TITLE", parcel_id);
//     values.markup("MARKUP_MAP", Markup(map.element()));
//     PageValues row = values.add("ROW");
//     row.text("TANKS", "3 x 18.9");
//     std::string html = page(kTemplate, values);
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace eaveshed {

// Markup of the program's own making: of Svg::element(), or a constant. Never made from a text of the data.
class Markup {
public:
    explicit Markup(std::string text) : m_text(std::move(text)) {}
    [[nodiscard]] const std::string& text() const { return m_text; }

private:
    std::string m_text;
};

// A handle on the values of a page or of one repetition of a part; what add() gives lives as long as the page's own.
class PageValues {
public:
    PageValues();

    // Any valid UTF-8. A name that begins with MARKUP_ is a broken invariant here, and one that does not in markup().
    void text(std::string_view name, std::string_view value);
    void markup(std::string_view name, const Markup& value);
    // One more repetition of a part.
    PageValues add(std::string_view part);
    // A part that stands once, without values of its own.
    void show(std::string_view part) { static_cast<void>(add(part)); }
    // A part that stands once with this value, or not at all where it is empty.
    void text_part(std::string_view part, std::string_view name, std::string_view value);

private:
    struct Page;
    explicit PageValues(std::shared_ptr<Page> page, void* values) : m_page(std::move(page)), m_values(values) {}
    friend std::string page(std::string_view page_template, const PageValues& values);

    std::shared_ptr<Page> m_page;
    void* m_values = nullptr;  // the library's dictionary
};

// A template that the library does not understand, or that takes a value as it is under another name than MARKUP_...,
// is a broken invariant.
[[nodiscard]] std::string page(std::string_view page_template, const PageValues& values);

}  // namespace eaveshed
