"""Spanish, French and German words of measuring and ordering, made the English ones that the reader knows.

Many callers mix two languages in one message. A message is only translated where words that are no
English stand in it, and word by word: what has no entry stays as it was typed.
"""

from __future__ import annotations

import re

from quotes.messages.scan import Token, listed

# Any of these shows the language; the others (once, bas, no) are words of English as well.
_SHOWS = {
    "es": listed(
        "quisiera cocina vidrio vidrios cristal arriba abajo superior inferior abertura hueco ventana ventanas necesito "
        "pulgadas pulgada quiero hola gracias altura cantidad favor color son tres cuatro peso hoja"
    ),
    "fr": listed(
        "vitre vitres verre haut hauteur ouverture fenêtre fenêtres fenetre fenetres bonjour merci besoin "
        "pouces pouce paires paire couleur quantité poids châssis inférieure supérieure basse haute"
    ),
    "de": listed(
        "scheibe scheiben glashöhe glashoehe scheibenhöhe öffnung oeffnung öffnungshöhe fenster brauche brauchen benötige "
        "benötigen höhe hoehe oben unten obere untere oberen unteren oberes unteres flügel fluegel flügelgewicht "
        "fenstern zwei ich wir gewicht wiegt stück stueck stk zoll für und hallo danke farbe küche bitte lichte glas ist gruß grüße"
    ),
}  # fmt: skip
_NUMBERS = {
    "es": "un=one una=one uno=one dos=two tres=three cuatro=four cinco=five seis=six siete=seven ocho=eight nueve=nine "
          "diez=ten once=eleven doce=twelve",
    "fr": "un=one une=one deux=two trois=three quatre=four cinq=five six=six sept=seven huit=eight neuf=nine "
          "dix=ten onze=eleven douze=twelve",
    "de": "ein=one eine=one einen=one eins=one einmal=one zwei=two drei=three vier=four fünf=five sechs=six sieben=seven "
          "acht=eight neun=nine zehn=ten elf=eleven zwölf=twelve",
}  # fmt: skip
_WORDS = {
    "es": "vidrio=glass vidrios=glass cristal=glass cristales=glass arriba=upper superior=upper abajo=lower "
          "inferior=lower abertura=opening apertura=opening hueco=opening ventana=window ventanas=windows necesito=need "
          "quiero=want quisiera=want queremos=want necesitamos=need pulgadas=inches pulgada=inch altura=height alto=height cantidad=qty de=of del=of el=the la=the los=the "
          "las=the y=and o=or para=for en=in son=are es=is mide=measures miden=measures cada=each ambos=both "
          "ambas=both peso=weight pesa=weighs hoja=sash kilos=kg libras=lbs medio=half media=half cuarto=quarter cuartos=quarters "
          "octavo=eighth octavos=eighths mas=about más=more menos=less aproximadamente=about casi=about igual=same "
          "misma=same mismo=same doble=double perdón=sorry perdon=sorry ancho=width creo=think quizás=maybe quizas=maybe tal=maybe por=for "
          "sin=without otra=another otro=another pares=pairs par=pair juego=set juegos=sets todo=all todas=all todos=all cocina=kitchen "
          "baño=bathroom bano=bathroom sala=living recámara=bedroom recamara=bedroom dormitorio=bedroom",
    "fr": "vitre=glass vitres=glass verre=glass haut=upper haute=upper supérieur=upper supérieure=upper superieure=upper "
          "superieur=upper bas=lower basse=lower inférieur=lower inférieure=lower inferieure=lower inferieur=lower "
          "ouverture=opening fenêtre=window fenêtres=windows fenetre=window fenetres=windows pouces=inches pouce=inch "
          "hauteur=height quantité=qty quantite=qty de=of du=of le=the la=the les=the des=of et=and ou=or pour=for "
          "en=in sont=are est=is mesure=measures chaque=each poids=weight pèse=weighs pese=weighs châssis=sash "
          "chassis=sash demi=half demie=half quart=quarter quarts=quarters environ=about même=same "
          "meme=same pardon=sorry largeur=width peut-être=maybe sans=without autre=another paires=pairs paire=pair "
          "toutes=all tous=all tout=all cuisine=kitchen salle=the bain=bathroom bains=bathroom salon=living chambre=bedroom besoin=need veux=want voudrais=want voulons=want faut=need",
    "de": "glas=glass scheibe=glass scheiben=glass glashöhe=glass glashoehe=glass scheibenhöhe=glass scheibenhoehe=glass "
          "oben=upper obere=upper oberer=upper oberes=upper oberen=upper unten=lower untere=lower unterer=lower unteres=lower "
          "unteren=lower öffnung=opening oeffnung=opening öffnungshöhe=opening oeffnungshoehe=opening lichte=opening lichtes=opening "
          "fenster=windows fenstern=windows brauche=need brauchen=need benötige=need benötigen=need möchte=want möchten=want bestellen=order "
          "zoll=inches höhe=height hoehe=height hoch=high breite=width breit=wide anzahl=qty menge=qty stück=pieces stueck=pieces "
          "stk=pieces von=of der=the die=the das=the den=the dem=the des=the und=and oder=or für=for fuer=for im=in am=at "
          "ist=is sind=are misst=measures beträgt=is gemessen=measured je=each jeweils=each beide=both beiden=both gewicht=weight "
          "wiegt=weighs flügel=sash fluegel=sash flügelgewicht=weight fluegelgewicht=weight pfund=lbs halb=half halbes=half viertel=quarter "
          "achtel=eighths doppelt=twice ungefähr=about ungefaehr=about etwa=about circa=about mehr=more weniger=less gleich=same gleiche=same "
          "gleichen=same dasselbe=same ebenso=same vielleicht=maybe wahrscheinlich=maybe glaube=think ohne=without "
          "paar=pair alle=all alles=all küche=kitchen kueche=kitchen bad=bathroom badezimmer=bathroom wohnzimmer=living "
          "schlafzimmer=bedroom flur=hall keller=basement nicht=not kein=no sondern=but aber=but mit=with auch=also insgesamt=total",
}  # fmt: skip
_ENGLISH = {
    name: dict(pair.split("=") for pair in f"{_WORDS[name]} {_NUMBERS[name]}".split())
    for name in _WORDS
}

# The French article before a vowel: l'ouverture.
_ELIDED = re.compile("^[ld]'")


def in_english(tokens: list[Token], own: frozenset[str]) -> list[Token]:
    """The tokens with words of another language translated; `own` are words the family uses itself."""
    spelled = {_ELIDED.sub("", token.text) for token in tokens if token.kind == "word"}
    name = max(_SHOWS, key=lambda language: len(spelled & _SHOWS[language]))
    if len(spelled & _SHOWS[name] - own) < 2:
        return tokens
    known = {word: plain for word, plain in _ENGLISH[name].items() if word not in own}
    return [
        token._replace(
            text=known.get(token.text) or known.get(_ELIDED.sub("", token.text), token.text)
        )
        if token.kind == "word"
        else token
        for token in tokens
    ]
