// The body of the basin's page. Private to the module.
#pragma once

#include <string_view>

namespace eaveshed {

inline constexpr std::string_view kBasinTemplate = R"html(<a class="skip" href="#short">To the content</a>
<header>
<h1>{{TITLE}}</h1>
<p class="small">Winter rain from roofs, stored for the dry season: what the creek would feel, and whom to ask first.</p>
</header>
<nav aria-label="Parts of this page"><ul>
<li><a href="#short">In short</a></li>
<li><a href="#creek">The creek</a></li>
{{#MAP}}<li><a href="#where">Where</a></li>{{/MAP}}
<li><a href="#gain">How far it goes</a></li>
<li><a href="#spread">Spread and certainty</a></li>
<li><a href="#basis">What it rests on</a></li>
<li><a href="#list">Whom to call</a></li>
<li><a href="#cautions">Cautions</a></li>
<li><a href="#made">How it was made</a></li>
</ul></nav>
<main>
<section class="part" id="short">
<h2>In short</h2>
<dl class="tiles">
{{#TILE}}<div><dt>{{TILE_NAME}}</dt><dd>{{#TILE_BIG}}<span class="figure">{{TILE_FIGURE}}</span><br>{{/TILE_BIG}}{{TILE_TEXT}}</dd></div>
{{/TILE}}</dl>
</section>
<section class="part" id="creek">
<h2>What the creek would feel</h2>
<p>{{FELT}}</p>
<p>{{VOLUMES}}</p>
<div class="scroll" role="region" aria-label="What storage could replace" tabindex="0">
<table>
<caption>All that storage could replace in a season, part by part</caption>
<thead><tr><th scope="col">Part</th><th scope="col" class="n">{{THINGS}}</th><th scope="col" class="n">replaced, {{UNIT_VOLUME}}</th><th scope="col" class="n">felt by creek, {{UNIT_VOLUME}}</th><th scope="col" class="n">mean flow, {{UNIT_FLOW}}</th></tr></thead>
<tbody>
{{#PART}}<tr class="{{PART_CLASS}}"><th scope="row">{{PART_NAME}}</th><td class="n">{{PART_NUMBER}}</td><td class="n">{{PART_REPLACED}}</td><td class="n">{{PART_FELT}}</td><td class="n">{{PART_FLOW}}</td></tr>
{{/PART}}</tbody>
</table>
</div>
{{#REMAINDER}}<p>{{REMAINDER_TEXT}}</p>
{{/REMAINDER}}{{#DELIVERY}}<p>{{DELIVERY_TEXT}}</p>
{{/DELIVERY}}<p>{{ROOFS}}</p>
</section>
{{#MAP}}<section class="part leaf" id="where">
<h2>Where</h2>
<figure class="map">{{MARKUP_MAP:none}}</figure>
{{#LEFT_OUT}}<p class="small">{{LEFT_OUT_TEXT}}</p>
{{/LEFT_OUT}}<p class="small">{{MAP_TEXT}}</p>
</section>
{{/MAP}}<section class="part leaf" id="gain">
<h2>How far it goes</h2>
<div class="figures">
{{#BY_COST}}<figure><figcaption>Gain against money</figcaption>{{MARKUP_BY_COST:none}}<p class="small">{{BY_COST_TEXT}}</p></figure>
{{/BY_COST}}{{#BY_NUMBER}}<figure><figcaption>Gain against the number enrolled</figcaption>{{MARKUP_BY_NUMBER:none}}<p class="small">{{BY_NUMBER_TEXT}}</p></figure>
{{/BY_NUMBER}}</div>
{{#NO_COST}}<p>{{NO_COST_TEXT}}</p>
{{/NO_COST}}{{#BY_SOURCE}}<figure><figcaption>By water source</figcaption>{{MARKUP_BY_SOURCE:none}}</figure>
{{/BY_SOURCE}}{{#BY_DELIVERY}}<figure><figcaption>By delivery</figcaption>{{MARKUP_BY_DELIVERY:none}}</figure>
{{/BY_DELIVERY}}<p class="small">{{GROUPS_TEXT}}</p>
</section>
<section class="part" id="spread">
<h2>Spread and certainty</h2>
<div class="figures">
{{#VOLUMES_CHART}}<figure><figcaption>How much each would add</figcaption>{{MARKUP_VOLUMES:none}}</figure>
{{/VOLUMES_CHART}}{{#GRAVITY_CHART}}<figure><figcaption>How sure it is that no pump is needed</figcaption>{{MARKUP_GRAVITY:none}}</figure>
{{/GRAVITY_CHART}}</div>
{{#SURE}}<p>{{SURE_TEXT}}</p>
{{/SURE}}{{#SCENARIOS}}<h3>In other climates</h3>
<div class="scroll" role="region" aria-label="Scenarios" tabindex="0">
<table>
<caption>The storage as chosen, run again with the scenario's factors on rain and evapotranspiration; parcels, and roofs in none</caption>
<thead><tr><th scope="col">Scenario</th><th scope="col" class="n">replaced as screened, {{UNIT_VOLUME}}</th><th scope="col" class="n">replaced then, {{UNIT_VOLUME}}</th><th scope="col" class="n">adds then, {{UNIT_VOLUME}}</th><th scope="col" class="n">creek then, {{UNIT_FLOW}}</th></tr></thead>
<tbody>
{{#SCENARIO}}<tr><th scope="row">{{SCENARIO_NAME}}</th><td class="n">{{SCENARIO_NOW}}</td><td class="n">{{SCENARIO_THEN}}</td><td class="n">{{SCENARIO_ADDED}}</td><td class="n">{{SCENARIO_FLOW}}</td></tr>
{{/SCENARIO}}</tbody>
</table>
</div>
{{/SCENARIOS}}</section>
<section class="part" id="basis">
<h2>What it rests on</h2>
{{#BASIS}}<div class="scroll" role="region" aria-label="What the answers rest on" tabindex="0">
<table>
<caption>What stands in where the data say nothing</caption>
<thead><tr><th scope="col">Assumed</th><th scope="col" class="n">roofs</th><th scope="col" class="n">volume</th><th scope="col">data that would replace it</th></tr></thead>
<tbody>
{{#BASIS_LINE}}<tr><th scope="row">{{BASIS_WHAT}}</th><td class="n">{{BASIS_ROOFS}}</td><td class="n">{{BASIS_VOLUME}}</td><td>{{BASIS_INSTEAD}}</td></tr>
{{/BASIS_LINE}}</tbody>
</table>
</div>
<p class="small">{{BASIS_SHARES}}</p>
{{/BASIS}}{{#BASIS_SENTENCE}}<p>{{BASIS_TEXT}}</p>
{{/BASIS_SENTENCE}}</section>
<section class="part leaf" id="list">
<h2>{{LIST_TITLE}}</h2>
<p>{{LIST_TEXT}}</p>
{{#LIST}}<div class="tools" id="ranked-tools" hidden>
<label>Rows that hold <input type="search" autocomplete="off"></label>
<label>Delivery <select><option value="">any</option>{{#LIST_DELIVERY}}<option value="{{DELIVERY_WORD}}">{{DELIVERY_NAME}}</option>{{/LIST_DELIVERY}}</select></label>
<span aria-live="polite"></span>
</div>
<p class="small printed">On paper the first 50 rows, in the order of the screen, without score and price of a volume.</p>
<div class="scroll" role="region" aria-label="{{LIST_TITLE}}" tabindex="0">
<table class="ranked" id="ranked">
<thead><tr>{{#LIST_RANKED_HEAD}}<th scope="col" class="n">rank</th><th scope="col" class="n plus">score</th>{{/LIST_RANKED_HEAD}}<th scope="col">{{THING}}</th><th scope="col" class="n">tanks, {{UNIT_VOLUME}}</th><th scope="col" class="n">adds, {{UNIT_VOLUME}}</th><th scope="col" class="n">creek, {{UNIT_FLOW}}</th>{{#LIST_RANKED_HEAD}}<th scope="col" class="n">cost{{CURRENCY}}</th><th scope="col" class="n plus">per {{UNIT_VOLUME}}</th>{{/LIST_RANKED_HEAD}}<th scope="col">delivery</th><th scope="col">no pump?</th>{{#LIST_RANKED_HEAD}}{{#LIST_STEADY_HEAD}}<th scope="col" class="n stays">stays in top {{TOP}}</th>{{/LIST_STEADY_HEAD}}{{/LIST_RANKED_HEAD}}{{#LIST_ASK_HEAD}}<th scope="col">ask first</th>{{/LIST_ASK_HEAD}}</tr></thead>
<tbody>
{{#ROW}}<tr data-delivery="{{ROW_DELIVERY_WORD}}">{{#ROW_RANKED}}<td class="n">{{ROW_RANK}}</td><td class="n plus">{{ROW_SCORE}}</td>{{/ROW_RANKED}}<th scope="row" class="{{ROW_ID_CLASS}}">{{#ROW_LINK}}<a href="#{{ROW_ANCHOR}}">{{ROW_ID}}</a>{{/ROW_LINK}}{{#ROW_PLAIN}}{{ROW_ID}}{{/ROW_PLAIN}}{{#ROW_SHEET}} <a class="sheet-link" href="{{ROW_SHEET_FILE}}">sheet</a>{{/ROW_SHEET}}</th><td class="n" data-v="{{ROW_STORAGE}}">{{ROW_TANKS}}</td><td class="n" data-v="{{ROW_ADDS_VALUE}}">{{ROW_ADDS}}</td><td class="n">{{ROW_CREEK}}</td>{{#ROW_RANKED}}<td class="n">{{ROW_COST}}</td><td class="n plus">{{ROW_COST_PER}}</td>{{/ROW_RANKED}}<td class="word">{{ROW_DELIVERY}}</td><td class="word">{{ROW_GRAVITY}}</td>{{#ROW_RANKED}}{{#ROW_STEADY}}<td class="n stays">{{ROW_STAYS}}</td>{{/ROW_STEADY}}{{/ROW_RANKED}}{{#ROW_QUESTION}}<td class="ask">{{ROW_ASK}}</td>{{/ROW_QUESTION}}</tr>
{{/ROW}}</tbody>
</table>
</div>
{{/LIST}}</section>
{{#SHEETS}}<section class="part" id="sheets">
<h2>Sheets of single properties</h2>
<p>{{#SHEET}}<a href="{{SHEET_FILE}}">{{SHEET_ID}}</a> {{/SHEET}}</p>
</section>
{{/SHEETS}}<section class="part" id="cautions">
<h2>Cautions</h2>
<div class="caution">
<p><strong>{{NO_DESIGN}}</strong></p>
<ul>
<li>A cubic metre of water weighs a tonne. A full tank needs level, firm ground, away from slopes that may slide and from
retaining walls; in country of earthquakes it needs anchoring.</li>
<li>A tank is a confined space: nobody enters one without training and help; openings are kept shut and locked, against
children and mosquitoes alike.</li>
<li>Roof water is not drinking water. Pipes that carry it are marked, and never joined to a drinking supply without the
protection against backflow that local codes ask for.</li>
<li>Overflow goes where it harms nobody: not onto a neighbour, a septic field or a steep bank.</li>
<li>Permits, setbacks, fire and building codes and water rights are local. Local codes and licensed practice decide; a
visit comes before any promise.</li>
</ul>
</div>
</section>
<section class="part" id="made">
<h2>How it was made</h2>
<p>{{MADE}}</p>
{{#SETTINGS}}<div class="scroll" role="region" aria-label="Settings" tabindex="0">
<table>
<caption>Settings that are not the defaults</caption>
<thead><tr><th scope="col">Setting</th><th scope="col">Here</th><th scope="col">Default</th></tr></thead>
<tbody>
{{#SETTING}}<tr><th scope="row">{{SETTING_NAME}}</th><td>{{SETTING_HERE}}</td><td>{{SETTING_DEFAULT}}</td></tr>
{{/SETTING}}</tbody>
</table>
</div>
{{/SETTINGS}}{{#INPUTS}}<div class="scroll" role="region" aria-label="Inputs" tabindex="0">
<table>
<caption>Inputs</caption>
<thead><tr><th scope="col">Input</th><th scope="col">File</th><th scope="col">SHA-256 begins</th></tr></thead>
<tbody>
{{#INPUT}}<tr><th scope="row">{{INPUT_SETTING}}</th><td>{{INPUT_FILE}}</td><td>{{INPUT_DIGEST}}</td></tr>
{{/INPUT}}</tbody>
</table>
</div>
{{/INPUTS}}</section>
</main>
)html";

}  // namespace eaveshed
