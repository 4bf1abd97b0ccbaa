// The body of a property sheet. Private to the module.
#pragma once

#include <string_view>

namespace eaveshed {

inline constexpr std::string_view kPropertyTemplate = R"html(<header>
<p class="small">{{BASIN}}</p>
<h1>{{TITLE}}</h1>
<p>{{OPENING}}</p>
</header>
<main>
<section class="part" id="short">
<h2>In short</h2>
<dl class="tiles">
{{#TILE}}<div><dt>{{TILE_NAME}}</dt><dd><span class="figure">{{TILE_VALUE}}</span>{{#TILE_RANGE}}<br><span class="small">{{TILE_RANGE_TEXT}}</span>{{/TILE_RANGE}}</dd></div>
{{/TILE}}</dl>
{{#LIMIT}}<p>{{LIMIT_TEXT}}</p>
{{/LIMIT}}{{#HAND}}<p><strong>To redo by hand:</strong> {{HAND_TEXT}}</p>
{{/HAND}}</section>
{{#PLAN}}<section class="part" id="where">
<h2>{{PLAN_NAME}}</h2>
<figure class="map">{{MARKUP_PLAN:none}}</figure>
{{#PLACE}}<p>{{PLACE_TEXT}}</p>
{{/PLACE}}</section>
{{/PLAN}}{{#PROFILE}}<section class="part" id="profile-part">
<h2>How the water runs</h2>
<figure class="map">{{MARKUP_PROFILE:none}}</figure>
{{#FLOW}}<p>{{FLOW_TEXT}}</p>
{{/FLOW}}</section>
{{/PROFILE}}{{#YEARS}}<section class="part" id="years">
<h2>Through the year</h2>
<div class="figures">
{{#YEAR}}<figure><figcaption>In {{YEAR_NAME}}</figcaption>{{MARKUP_YEAR:none}}</figure>
{{/YEAR}}</div>
{{#YEAR_SUM}}<p>{{YEAR_SUM_TEXT}}</p>
{{/YEAR_SUM}}</section>
{{/YEARS}}{{#SIZES}}<section class="part" id="sizes">
<h2>Sizes that could stand there</h2>
<div class="scroll" role="region" aria-label="Sizes that could stand there" tabindex="0">
<table>
<thead><tr><th scope="col">Tanks</th><th scope="col" class="n">replaced a season, {{UNIT_VOLUME}}</th><th scope="col" class="n">the creek feels, {{UNIT_FLOW}}</th><th scope="col" class="n">still unmet in a mean season, {{UNIT_VOLUME}}</th><th scope="col" class="n">in a dry one</th><th scope="col" class="n">pressure, {{UNIT_PRESSURE}}</th><th scope="col">delivery</th><th scope="col" class="n">cost{{#CURRENCY}}, {{CURRENCY_NAME}}{{/CURRENCY}}</th><th scope="col"></th></tr></thead>
<tbody>
{{#SIZE}}<tr><th scope="row">{{SIZE_TANKS}}</th><td class="n">{{SIZE_REPLACED}}</td><td class="n">{{SIZE_FELT}}</td><td class="n">{{SIZE_UNMET}}</td><td class="n">{{SIZE_UNMET_DRY}}</td><td class="n">{{SIZE_PRESSURE}}</td><td>{{SIZE_DELIVERY}}</td><td class="n">{{SIZE_COST}}</td><td>{{SIZE_NOTE}}</td></tr>
{{/SIZE}}</tbody>
</table>
</div>
</section>
{{/SIZES}}{{#NOTES}}<section class="part" id="notes">
<h2>What goes with it</h2>
<ul>
{{#NOTE}}<li>{{NOTE_TEXT}}</li>
{{/NOTE}}</ul>
</section>
{{/NOTES}}{{#QUESTIONS}}<section class="part" id="ask">
<h2>What to ask</h2>
<ol>
{{#QUESTION}}<li>{{QUESTION_TEXT}}<span class="answer">&nbsp;</span></li>
{{/QUESTION}}</ol>
</section>
{{/QUESTIONS}}{{#CHECKS}}<section class="part" id="site">
<h2>What to look at on site</h2>
<ul>
{{#CHECK}}<li>{{CHECK_TEXT}}</li>
{{/CHECK}}</ul>
</section>
{{/CHECKS}}{{#CALENDAR}}<section class="part" id="calendar">
<h2>The year's work</h2>
<table>
<tbody>
{{#TASK}}<tr><th scope="row">{{TASK_MONTHS}}</th><td>{{TASK_TEXT}}</td></tr>
{{/TASK}}</tbody>
</table>
</section>
{{/CALENDAR}}<section class="part" id="cautions">
<h2>Cautions</h2>
<div class="caution">
{{#CAUTION}}<p>{{CAUTION_TEXT}}</p>
{{/CAUTION}}</div>
<p class="small">A screening from maps and records, not a design, made by eaveshed {{VERSION}}. Visited on <span class="blank">&nbsp;</span> by <span class="blank">&nbsp;</span></p>
</section>
</main>
)html";

}  // namespace eaveshed
