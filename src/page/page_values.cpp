#include "eaveshed/page/page_values.hpp"

#include <ctemplate/template.h>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kMarkup = "MARKUP_";

ctemplate::TemplateString library_text(std::string_view text) {
    return {text.data(), text.size()};
}

// Only what is named as markup is taken as it is.
void require_escaped(std::string_view page_template) {
    constexpr std::string_view kAsItIs = ":none}}";
    for (std::size_t at = page_template.find(kAsItIs); at != std::string_view::npos;
         at = page_template.find(kAsItIs, at + 1)) {
        const std::size_t begin = page_template.rfind("{{", at);
        if (begin == std::string_view::npos || !page_template.substr(begin + 2).starts_with(kMarkup)) {
            internal_error("a template that takes a text as markup");
        }
    }
}

}  // namespace

struct PageValues::Page {
    ctemplate::TemplateDictionary values{"page"};
};

PageValues::PageValues() : m_page(std::make_shared<Page>()), m_values(&m_page->values) {}

void PageValues::text(std::string_view name, std::string_view value) {
    if (name.starts_with(kMarkup)) {
        internal_error("a text under a name for markup");
    }
    static_cast<ctemplate::TemplateDictionary*>(m_values)->SetValue(library_text(name), library_text(value));
}

void PageValues::markup(std::string_view name, const Markup& value) {
    if (!name.starts_with(kMarkup)) {
        internal_error("markup under a name for a text");
    }
    static_cast<ctemplate::TemplateDictionary*>(m_values)->SetValue(library_text(name), library_text(value.text()));
}

PageValues PageValues::add(std::string_view part) {
    auto* const values = static_cast<ctemplate::TemplateDictionary*>(m_values);
    return PageValues(m_page, values->AddSectionDictionary(library_text(part)));
}

void PageValues::text_part(std::string_view part, std::string_view name, std::string_view value) {
    if (!value.empty()) {
        add(part).text(name, value);
    }
}

std::string page(std::string_view page_template, const PageValues& values) {
    require_escaped(page_template);
    ctemplate::TemplateCache cache;
    const std::string text = "{{%AUTOESCAPE context=\"HTML\"}}" + std::string(page_template);
    std::string html;
    if (!cache.StringToTemplateCache("page", text, ctemplate::DO_NOT_STRIP) ||
        !cache.ExpandWithData("page", ctemplate::DO_NOT_STRIP,
                              static_cast<const ctemplate::TemplateDictionary*>(values.m_values), nullptr, &html)) {
        internal_error("a page's template that is not understood");
    }
    return html;
}

}  // namespace eaveshed
