// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What a column holds.</summary>
internal enum ColumnRole
{
    Unknown,
    Quantity,
    Other,
    Time,
    Parameter,
    Value,
    UnitName,
    Device,
}

/// <summary>The words of headers, in the languages in which meters and their programs are sold. To teach the reader a new word, add it here.</summary>
/// <remarks>Words are in plain letters (see <see cref="HeaderText.Plain"/>). Most were met in logs; those without a log behind them are dictionary words, from memory.</remarks>
internal static class LogWords
{
    /// <summary>One line of the table.</summary>
    /// <param name="Role">What a column with one of the words holds.</param>
    /// <param name="Meaning">The quantity, or why the column is not used.</param>
    /// <param name="Whole">Words that must stand alone.</param>
    /// <param name="Parts">Words that may be part of a longer one.</param>
    private sealed record Entry(ColumnRole Role, string Meaning, string Whole, string Parts = "")
    {
        private readonly string[] _whole = Whole.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        private readonly string[] _parts = Parts.Split(' ', StringSplitOptions.RemoveEmptyEntries);

        public bool Fits(List<string> words, string joined) =>
            Array.Exists(_whole, words.Contains) || Array.Exists(_parts, part => joined.Contains(part, StringComparison.Ordinal));
    }

    // The first line that fits decides. Words of several parts are joined: "dew point" is looked up as "dewpoint".
    private static readonly Entry[] Table =
    [
        // What looks like a quantity and is none.
        new(ColumnRole.Other, "an equivalent that is computed from vapours, no measured CO2", "eco2 co2eq co2e eqco2 co2equiv", "co2equivalent co2eq"),
        new(ColumnRole.Other, "a dew point", "dp dew td", "dewpoint taupunkt pointderosee puntoderocio puntodirugiada dauwpunt punktrosy 露点"),
        new(ColumnRole.Other, "a felt temperature or a comfort figure", "humidex", "heatindex feelslike apparenttemp windchill comfort"),
        new(ColumnRole.Other, "an absolute humidity", "ah", "absolutehum absolutefeucht humiditeabsolue humedadabsoluta absolutehumidity"),
        new(ColumnRole.Other, "the temperature of electronics, not of the air", "", "cputemp boardtemp devicetemp coretemp chiptemp internaltemp"),

        // Quantities.
        new(ColumnRole.Quantity, "formaldehyde", "hcho ch2o", "formaldeh formaldeid 甲醛 ホルムアルデヒド"),
        new(ColumnRole.Quantity, "tvoc", "voc vocs tvoc cov covt covs lzo vos voctotal totalvoc", "tvoc volatile fluchtige 挥发 揮発"),
        new(ColumnRole.Quantity, "co2", "co2 kohlendioxid", "co2 carbondioxide kohlendioxid kohlenstoffdioxid dioxydedecarbone gazcarbonique dioxidodecarbono anidridecarbonica koolstofdioxide dwutlenekwegla 二酸化炭素 二氧化碳"),
        new(ColumnRole.Quantity, "humidity", "rh rhum hum humid rf hr ur rv rlf relhum humedad umidita feuchte", "humidity humidit humedad umidade umidita feuchte feuchtigkeit vochtigheid wilgotnosc 湿度"),
        new(ColumnRole.Quantity, "temperature", "temp temps tmp ta", "temperatur temperatuur temperature tempc tempf temp 温度 気温 溫度"),

        // Other readings.
        new(ColumnRole.Other, "the state of the battery", "batt bat akku soc", "battery batter batterie bateria 电池 電池"),
        new(ColumnRole.Other, "an air pressure", "pres press pressure baro hpa luftdruck druck", "pressure pression presion pressione luchtdruk cisnienie luftdruck sealevel 気圧 气压"),
        new(ColumnRole.Other, "nitrogen oxides, which are no quantity of a trial", "no2 nox", "nitrogen stickstoff stickoxid"),
        new(ColumnRole.Other, "ozone, which is no quantity of a trial", "o3", "ozone ozon"),
        new(ColumnRole.Other, "another gas, which is no quantity of a trial", "co so2 nh3 h2s ch4 h2 c2h5oh ethanol rn", "carbonmonoxide kohlenmonoxid ammonia methane radon"),
        new(ColumnRole.Other, "sound", "noise db dba spl laeq laf", "lautst larm gerausch ruido bruit"),
        new(ColumnRole.Other, "light", "lux light uv lx illuminance", "helligkeit lumin beleucht"),
        new(ColumnRole.Other, "a place", "lat lon lng long latitude longitude alt altitude elevation gps speed heading", "latitude longitude"),
        new(ColumnRole.Other, "a voltage or a raw signal", "raw volt voltage vcc adc mv resistance rs gas_resistance ohm sraw", "voltage spannung"),
        new(ColumnRole.Other, "the strength of a radio signal", "rssi signal wifi snr", "signalstrength"),
        new(ColumnRole.Other, "a flow or a fan, which is no reading of the air", "flow fan rpm pump flowrate", "durchfluss"),
        new(ColumnRole.Other, "wind or rain", "wind rain gust", "windspeed winddir niederschlag"),
        new(ColumnRole.Other, "the typical size of particles", "typical tps", "typicalsize meansize"),

        // Parts of the long form.
        new(ColumnRole.Parameter, "", "param parameter parametername quantity pollutant entity measurement messgrosse grosse metric variable property phenomenon parametre parametro grandeur magnitud grandezza analyte kenngrosse", "entityid 参数 項目"),
        new(ColumnRole.Parameter, "", "field sensor name type"),
        new(ColumnRole.UnitName, "", "unit units einheit einheiten unite unites unidad unita eenheid jednostka uom", "unitof 単位 单位"),
        new(ColumnRole.Value, "", "value values state wert messwert valeur valor valore waarde wartosc reading result val", "samplevalue 数値 数值"),
        new(ColumnRole.Device, "", "site location station device deviceid sensorid serial host room raum zone ort standort"),
        new(ColumnRole.Other, "a state or a remark", "status state flag qc code comment comments remark remarks note notes event inlet mode error errors fault alarm bemerkung kommentar", "devicestate qccode comment"),
        new(ColumnRole.Other, "a count of rows", "no nr id index row record count entry seq sequence lfd # sno idx", "recordnumber entryid"),
    ];

    private const string IndexWords = "aqi iaq caqi daqi lqi ica aqius aqicn epaaqi index indeks indice indicator score iaqi naqi rating 指数";
    private const string IndexParts = "airquality luftqualitat airqualityindex qualiteair qualitedelair calidaddelaire qualitadellaria luchtkwaliteit jakoscpowietrza 空气质量 空気質";
    private const string StatisticWords = "min max minimum maximum peak std stdev sd stddev sigma error err uncertainty median variance";
    private const string LongMeanWords = "24h 1h 8h 12h 24hr 1hr 24hour 1hour hour hours minute minutes day days week nowcast daily hourly";
    private const string TimeParts = "time timestamp datetime date zeit datum uhrzeit zeitstempel heure horodat fecha hora data ora tijd czas godzina elapsed epoch unix created recorded measured lastchanged lastupdated 時刻 日時 日付 时间 時間 日期";
    private const string TimeWhole = "ts sec secs s ms millis seconds sekunden secondes minutes minuten hours stunden dt jour tag utc";

    /// <summary>Whether the header speaks of a time.</summary>
    /// <param name="plain">The header, as <see cref="HeaderText.Plain"/> gives it.</param>
    public static bool SpeaksOfTime(string plain)
    {
        var words = HeaderText.Words(plain);
        return words is ["t"] || words.Exists(word => Has(TimeWhole, word) || TimeParts.Split(' ').Any(part => word.StartsWith(part, StringComparison.Ordinal) || (part.Length >= 4 && word.EndsWith(part, StringComparison.Ordinal))));
    }

    /// <summary>Whether the header says that times are counted from the start.</summary>
    public static bool SpeaksOfElapsedTime(string plain) =>
        HeaderText.Words(plain).Exists(static word => word is "elapsed" or "relative" or "runtime" or "duration" or "laufzeit" or "seit" or "since" or "dauer" or "duree" or "transcurrido");

    /// <summary>The role of a header by its words, and the quantity or why it is not used.</summary>
    /// <param name="words">Its words in plain letters, without the unit.</param>
    public static (ColumnRole Role, string Meaning) Of(List<string> words)
    {
        var joined = string.Concat(words);
        if (IsIndex(words, joined))
        {
            return words.Exists(static w => w is "voc" or "tvoc" or "vocs" or "cov") || joined.Contains("voc", StringComparison.Ordinal)
                ? (ColumnRole.Quantity, "tvoc_index")
                : (ColumnRole.Other, "an index, which is never a concentration");
        }

        foreach (var entry in Table)
        {
            if (entry.Fits(words, joined))
            {
                return (entry.Role, entry.Meaning);
            }
        }

        return (ColumnRole.Unknown, "not known to us; name it with --columns if it is one of ours");
    }

    /// <summary>Whether the words are those of an index of air quality or of vapours.</summary>
    public static bool IsIndex(List<string> words, string joined) =>
        words.Exists(static word => Has(IndexWords, word)) && !(words is ["index"] or ["indice"])
        || IndexParts.Split(' ').Any(part => joined.Contains(part, StringComparison.Ordinal))
        || joined.EndsWith("aqi", StringComparison.Ordinal) || joined.EndsWith("vocindex", StringComparison.Ordinal);

    /// <summary>Why a column of a known quantity does not hold its readings; null where it does.</summary>
    public static string? NotTheReading(List<string> words) =>
        words.Exists(static word => Has(LongMeanWords, word) || IsSpan(word)) ? "a mean over hours, not the reading itself"
        : words.Exists(static word => Has(StatisticWords, word)) ? "a statistic of the readings, not the reading itself"
        : words.Exists(static word => word is "ratio" or "lpo") ? "an occupancy of pulses, which is never a mass"
        : null;

    /// <summary>A length of time such as <c>10minute</c> or <c>6hour</c>, over which a mean runs.</summary>
    private static bool IsSpan(string word) =>
        word.Length > 3 && char.IsAsciiDigit(word[0]) && word.TrimStart(['0', '1', '2', '3', '4', '5', '6', '7', '8', '9']) is "minute" or "minutes" or "min" or "hour" or "hours" or "day" or "week";

    private static bool Has(string list, string word)
    {
        for (var at = list.IndexOf(word, StringComparison.Ordinal); at >= 0; at = list.IndexOf(word, at + 1, StringComparison.Ordinal))
        {
            if ((at == 0 || list[at - 1] == ' ') && (at + word.Length == list.Length || list[at + word.Length] == ' '))
            {
                return true;
            }
        }

        return false;
    }
}
