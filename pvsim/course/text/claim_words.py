"""Words that compare, single out or leave no exception: in a lesson each of them is a claim.

Left out on purpose: words such as "all", "only", "first" and "nearly", which are counted or defined far more
often than they are claimed; places ("the lowest row"); names of quantities ("greatest power").
"""

from __future__ import annotations

import re

_SIZE = (  # they take -er and -est as they are
    r"great|small|high|low|cool|warm|cold|strong|weak|long|short|bright|dark|cheap|dear|deep|steep|hard|fast|slow"
)
_OTHER = r"larger|hotter|dimmer|bigger|thicker|thinner|easier|safer|better|worse|fewer"
_ALONE = (  # a comparison without "than", too; "lower" and "longer" are often none
    r"high|short|deep|steep|hard|fast|slow|cool|warm|cold|strong|weak|cheap|dear|small|(?<!no\s)long"
)
_ENGLISH = rf"""\b(?:
    nobody|no\sone|(?<!let\s)everybody|everyone|(?<!must\s)never|always|hardly|barely|scarcely
    |twice|double[sd]?|(?:half|a\s(?:third|quarter|fifth|tenth)|\w+\stimes)\sas|as\s(?:much|many)\sagain
    |(?<!at\s)most|best|worst
    |(?!greatest\spower|coldest[\s-](?:morning|day)|lowest\b)(?:(?:{_SIZE})|large|bigg|hott|dimm|easi|safe|dens)e?st
    |(?:much|far|slightly|considerably|a\slittle|even|still|no)\s(?!longer)(?:(?:{_SIZE})er|{_OTHER}|less|more(?!\spower))
    |(?:more|less|(?!other|another|rather|either|whether|never|over)\w{{2,}}er)\s(?:[^\s,;:]+\s){{0,3}}?than
    |(?:{_ALONE})er|{_OTHER}
)\b"""

_STEM = (
    r"größ|klein|höch|niedrig|tief|heiß|kält|wärm|kühl|stärk|schwäch|be|schlimm|schlechte|läng|kürz|mei|wenig"
    r"|billig|teuer|sicher|gefährlich|häufig|hell|dunkel|dick|dünn|schnell|langsam|steil|leichte"
)
_MEHR = (
    r"größer|kleiner|höher|niedriger|tiefer|heißer|kälter|wärmer|kühler|stärker|schwächer|besser|schlimmer"
    r"|schlechter|länger|kürzer|billiger|teurer|häufiger|heller|dunkler|schneller|langsamer|steiler"
)
_GERMAN = rf"""\b(?:(?i:
    niemand(?:e[mn])?|nie|niemals|kaum|(?<!noch\s)(?<!auch\s)immer(?!\s(?:noch|wieder))
    |doppelte?[mnrs]?|halb\sso|\w+mal\sso|(?:zwei|drei|vier|fünf|sechs|zehn|hundert)fache[mnrs]?
    |am\s(?!besten\s\w+en\b|kältesten\sMorgen|nächsten)\w+[sß]ten
    |(?!kälteste\w?\s(?:Morgen|Tag)|größte\w?\sLeistung)(?:{_STEM})e?ste[mnrs]?
    |(?:viel|weit|etwas|wenig)\s(?:mehr|weniger)|(?:mehr|weniger)\s(?:[^\s;:]+\s){{0,3}}?als
    |(?!immer|aber|oder|wieder)\w{{3,}}er\sals|(?:{_MEHR})e[mnrs]?
    )|(?i:{_MEHR})(?!\s[A-ZÄÖÜ]) # "ein kleiner Strom" compares nothing
)\b"""

_PATTERNS = {"en": re.compile(_ENGLISH, re.IGNORECASE | re.VERBOSE), "de": re.compile(_GERMAN, re.VERBOSE)}


def words_of_comparison(sentence: str, language: str) -> list[str]:
    """The words of a sentence that compare or leave no exception; none in a language without a list.

    Parameters
    ----------
    sentence : str
        On one line, with single spaces.
    """
    pattern = _PATTERNS.get(language.partition("-")[0])
    return [] if pattern is None else [match[0] for match in pattern.finditer(sentence)]
