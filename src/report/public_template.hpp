// The body of the page for all. Private to the module.
#pragma once

#include <string_view>

namespace eaveshed {

inline constexpr std::string_view kPublicTemplate = R"html(<header>
<h1>{{TITLE}}</h1>
<p class="small">Winter rain from roofs, stored for the dry season: what the creek would feel. Sums of at least {{LEAST}} {{THINGS}}; no single property is shown.</p>
</header>
<main>
<section class="part" id="creek">
<h2>What the creek would feel</h2>
{{#FIGURE}}<dl class="tiles">
<div><dt>More in the creek, mean of {{MONTHS}}</dt><dd><span class="figure">{{FIGURE_FLOW}}</span></dd></div>
<div><dt>A season</dt><dd><span class="figure">{{FIGURE_VOLUME}}</span></dd></div>
<div><dt>If all take part that can be asked and draw on it</dt><dd><span class="figure">{{FIGURE_NUMBER}}</span></dd></div>
</dl>
{{/FIGURE}}<p>{{VOLUMES}}</p>
<div class="scroll" role="region" aria-label="What storage could replace" tabindex="0">
<table>
<caption>All that storage could replace in a season, part by part</caption>
<thead><tr><th scope="col">Part</th><th scope="col" class="n">{{THINGS}}</th><th scope="col" class="n">replaced, {{UNIT_VOLUME}}</th><th scope="col" class="n">felt by creek, {{UNIT_VOLUME}}</th><th scope="col" class="n">mean flow, {{UNIT_FLOW}}</th></tr></thead>
<tbody>
{{#PART}}<tr class="{{PART_CLASS}}"><th scope="row">{{PART_NAME}}</th><td class="n">{{PART_NUMBER}}</td><td class="n">{{PART_REPLACED}}</td><td class="n">{{PART_FELT}}</td><td class="n">{{PART_FLOW}}</td></tr>
{{/PART}}</tbody>
</table>
</div>
</section>
{{#MAP}}<section class="part leaf" id="where">
<h2>Where</h2>
<figure class="map">{{MARKUP_MAP:none}}</figure>
<p class="small">{{MAP_TEXT}}</p>
</section>
{{/MAP}}<section class="part leaf" id="gain">
<h2>How far it goes</h2>
<div class="figures">
{{#BY_COST}}<figure><figcaption>Gain against money</figcaption>{{MARKUP_BY_COST:none}}</figure>
{{/BY_COST}}{{#BY_NUMBER}}<figure><figcaption>Gain against the number enrolled</figcaption>{{MARKUP_BY_NUMBER:none}}</figure>
{{/BY_NUMBER}}</div>
{{#BY_SOURCE}}<figure><figcaption>By water source</figcaption>{{MARKUP_BY_SOURCE:none}}</figure>
{{/BY_SOURCE}}{{#BY_DELIVERY}}<figure><figcaption>By delivery</figcaption>{{MARKUP_BY_DELIVERY:none}}</figure>
{{/BY_DELIVERY}}</section>
<section class="part" id="basis">
<h2>What it rests on</h2>
<p>{{ROOFS}}</p>
{{#BASIS_SENTENCE}}<p>{{BASIS_TEXT}}</p>
{{/BASIS_SENTENCE}}</section>
<section class="part" id="cautions">
<h2>Cautions</h2>
<div class="caution"><p><strong>{{NO_DESIGN}}</strong></p></div>
<p class="small">Made by eaveshed {{VERSION}}.</p>
</section>
</main>
)html";

}  // namespace eaveshed
