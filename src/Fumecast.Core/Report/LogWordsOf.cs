// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>What logs hold, in words for texts and pictures.</summary>
internal static class LogWordsOf
{
    /// <summary>The form of a table as it is named in JSON.</summary>
    public static string Form(LogForm form) => form switch
    {
        LogForm.OneRowPerReading => "long",
        LogForm.Transposed => "transposed",
        _ => "wide",
    };

    /// <summary>A quantity as a person names it.</summary>
    public static string Quantity(LogQuantity quantity) =>
        Named(quantity.Kind) + (Cut(quantity) is { Length: > 0 } cut ? cut : quantity.Name[quantity.Kind.Length..]);

    /// <summary>Such as <c>ug/m3</c>.</summary>
    public static string Unit(string unit) => unit switch
    {
        "ug_per_m3" => "ug/m3",
        "per_cm3" => "1/cm3",
        "c" => "degC",
        "percent" => "%",
        "index" => "",
        _ => unit,
    };

    /// <summary>A time of a log to the second, for a person.</summary>
    public static string Moment(MeterLog log, double timeS)
    {
        var text = log.Time.Show(timeS);
        var point = text.IndexOf('.', StringComparison.Ordinal);
        return (point < 0 ? text : text.Remove(point, 4)).Replace('T', ' ');
    }

    /// <summary>A length of time with as many digits as a step between readings deserves.</summary>
    public static string Step(double seconds) => seconds < 99.5 ? $"{Amounts.Significant(seconds, 2)} s" : Amounts.Duration(seconds);

    private static string Named(string kind) => kind switch
    {
        "pm1" => "PM1",
        "pm25" => "PM2.5",
        "pm4" => "PM4",
        "pm10" => "PM10",
        "number" => "particles",
        "tvoc" => "TVOC",
        "tvoc_index" => "VOC index",
        "co2" => "CO2",
        _ => kind,
    };

    /// <summary>Which particles count, with a blank before it; empty where all do or nothing is known.</summary>
    public static string Cut(LogQuantity quantity) => (quantity.CutFromUm, quantity.CutToUm) switch
    {
        ({ } from, { } to) => Amounts.Invariant($" {from:0.###} to {to:0.###} um"),
        ({ } from, null) => Amounts.Invariant($" > {from:0.###} um"),
        (null, { } to) => Amounts.Invariant($" < {to:0.###} um"),
        _ => "",
    };
}
