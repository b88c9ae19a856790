"""How hard a text is to read, by two published formulas; syllables are counted by rule, no word list is fetched.

English: Flesch-Kincaid grade level, 0.39 words/sentence + 11.8 syllables/word - 15.59. Source: J. P. Kincaid, R. P.
Fishburne, R. L. Rogers, B. S. Chissom, "Derivation of new readability formulas for Navy enlisted personnel", Research
Branch Report 8-75, Naval Air Station Memphis, 1975. Grade 7 of US schools is entered at the age of 12.

Spanish: perspicuity, 206.835 - 62.3 syllables/word - words/sentence. Source: F. Szigriszt Pazos, "Sistemas predictivos de
legibilidad del mensaje escrito: formula de perspicuidad", doctoral thesis, Universidad Complutense de Madrid, 1993. Scale:
I. M. Barrio Cantalejo et al., "Validacion de la Escala INFLESZ para evaluar la legibilidad de los textos dirigidos a
pacientes", Anales del Sistema Sanitario de Navarra 31(2), 2008: under 40 very hard, 40 to 55 rather hard, 55 to 65 normal,
65 to 80 fairly easy, over 80 very easy. Normal is what readers of secondary school (12 to 16) manage, fairly easy what
those of primary school (up to 12) do (the school levels from memory), so that 65 is the bound for the age of 12.
"""

import re

MOST_GRADE = 7.0
LEAST_INFLESZ = 65.0

ENGLISH = {
    "area": 3, "idea": 3, "create": 2, "being": 2, "seeing": 2, "quiet": 2, "science": 2, "people": 2, "every": 2,
    "once": 1, "hose": 1, "garden": 2, "cardboard": 2, "useful": 2, "someone": 2, "something": 2, "somewhere": 2,
    "anyone": 3, "everyone": 3, "wooden": 2, "whoever": 3, "sq": 1, "ft": 1, "telephone": 3, "loudspeaker": 3,
    "somebody": 3, "tired": 2, "association": 5, "sometimes": 2, "homeowner": 3, "layer": 2,
}  # fmt: skip


def words_of(text: str) -> list[str]:
    return re.findall(r"[^\W_]+(?:[’'.,:][^\W_]+)*", text)


def sentences_of(text: str) -> list[str]:
    """What ends in a full stop or a question mark; a colon ends nothing, so that a list makes its sentence long."""
    parts = re.split(r"(?<=[.?!])[\s”\"]+", text)
    return [part for part in parts if len(words_of(part)) > 0]


def english_syllables(word: str) -> int:
    """Groups of vowels, without the silent e: `english_syllables("cardboard") == 2`. A number counts as one word said."""
    word = re.sub(r"[^a-z]", "", word.lower().replace("’s", "s"))
    if not word:
        return 1
    if word in ENGLISH:
        return ENGLISH[word]
    count = len(re.findall(r"[aeiouy]+", re.sub(r"(?<=[aeiou])y(?=[aeiou])", "j", word)))
    if re.search(r"[^aeiouy]e$", word) and not re.search(r"[^aeiouy]le$", word):
        count -= 1
    if re.search(r"[^aeiouytd]ed$|[^aeiouy]e[sd]$", word) and not re.search(r"(?:[sxz]|ch|sh|[cg])es$|[td]ed$", word):
        count -= 1
    if re.search(r"i(?:a|o|um)|[^q]ua|eo", word) and not re.search(r"[tcs]io|[tc]ia|geo|eou", word):
        count += 1
    return max(1, count)


def flesch_kincaid(text: str) -> float:
    """The US school grade a text asks for."""
    words, sentences = words_of(text), sentences_of(text)
    syllables = sum(english_syllables(word) for word in words)
    return 0.39 * len(words) / len(sentences) + 11.8 * syllables / len(words) - 15.59


STRONG, WEAK, STRESSED = "aeoáéó", "iuü", "íú"


def spanish_syllables(word: str) -> int:
    """Vowels, less those that run together: `spanish_syllables("ciudad") == 2`, `spanish_syllables("día") == 2`."""
    word = re.sub(r"[^a-zñáéíóúü]", "", word.lower())
    word = re.sub(r"qu(?=[eiéí])", "q", re.sub(r"gu(?=[eiéí])", "g", word))
    word = re.sub(r"y$", "i", re.sub(r"^y$", "i", word))
    count, before = 0, ""
    for letter in word:
        if letter in STRONG + WEAK + STRESSED:
            runs_on = before and not (before in STRONG and letter in STRONG) and not {before, letter} & set(STRESSED)
            count += 0 if runs_on else 1
            before = letter
        else:
            before = "" if letter != "h" else before
    return max(1, count)


def perspicuity(text: str) -> float:
    """Szigriszt's perspicuity of a Spanish text, read on the INFLESZ scale: the higher, the easier."""
    words, sentences = words_of(text), sentences_of(text)
    syllables = sum(spanish_syllables(word) for word in words)
    return 206.835 - 62.3 * syllables / len(words) - len(words) / len(sentences)
