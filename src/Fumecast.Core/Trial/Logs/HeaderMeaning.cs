// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Trial;

/// <summary>What a header says its column holds.</summary>
/// <param name="Role">Its part in the table.</param>
/// <param name="Quantity">The quantity, without a number behind it; null for none.</param>
/// <param name="Unit">The unit that is written, as it applies to the quantity; null where none is.</param>
/// <param name="WrittenUnit">As it was written.</param>
/// <param name="CutFromUm">For numbers: the diameter above which particles count [um].</param>
/// <param name="CutToUm">For numbers: the diameter below which particles count [um].</param>
/// <param name="Why">Why it is not used; null where it is.</param>
/// <param name="Assumed">What had to be assumed, in words; null for nothing.</param>
internal sealed record HeaderMeaning(
    ColumnRole Role, string? Quantity = null, LogUnit? Unit = null, string? WrittenUnit = null, double? CutFromUm = null, double? CutToUm = null, string? Why = null, string? Assumed = null)
{
    /// <summary>Sizes of the PM quantities as they are written behind "pm", the longest first.</summary>
    private static readonly (string Text, string Quantity, double Um)[] Sizes =
    [
        ("10.0", "pm10", 10), ("10,0", "pm10", 10), ("10_0", "pm10", 10), ("10", "pm10", 10),
        ("2.5", "pm25", 2.5), ("2,5", "pm25", 2.5), ("2_5", "pm25", 2.5), ("2-5", "pm25", 2.5), ("2p5", "pm25", 2.5), ("02.5", "pm25", 2.5), ("25", "pm25", 2.5),
        ("1.0", "pm1", 1), ("1,0", "pm1", 1), ("1_0", "pm1", 1), ("1p0", "pm1", 1), ("01.0", "pm1", 1), ("01", "pm1", 1), ("1", "pm1", 1),
        ("4.0", "pm4", 4), ("4,0", "pm4", 4), ("4_0", "pm4", 4), ("4p0", "pm4", 4), ("4", "pm4", 4),
        ("0.5", "", 0.5), ("0,5", "", 0.5), ("0_5", "", 0.5), ("05", "", 0.5), ("0.3", "", 0.3), ("0_3", "", 0.3), ("03", "", 0.3),
    ];

    /// <summary>Reads a header.</summary>
    /// <param name="header">As written.</param>
    public static HeaderMeaning Of(string header)
    {
        var plain = HeaderText.Plain(header);
        if (plain.Length == 0)
        {
            return new HeaderMeaning(ColumnRole.Unknown, Why: "it has no header");
        }

        var (rest, unit, written) = HeaderText.SplitUnit(plain);
        var words = HeaderText.Words(rest);
        var joined = string.Concat(words);
        if (Particles(rest, words, joined, unit, written) is { } particles)
        {
            return particles;
        }

        if (IsBin(words))
        {
            return new HeaderMeaning(ColumnRole.Other, Why: "one bin of sizes; a number needs the flow and the time of a sample");
        }

        var (role, meaning) = LogWords.Of(words);
        if (role == ColumnRole.Quantity)
        {
            return OfQuantity(meaning, words, unit, written);
        }

        // "DHT-T" is a temperature, "t" alone a time.
        if (words.Count > 1 && words[^1] == "t" && unit is null)
        {
            return new HeaderMeaning(ColumnRole.Quantity, "temperature");
        }

        if (unit is { Kind: UnitKind.Temperature } && unit.For("temperature") is { } degrees && words is ["t"] or ["air"] or [_, "t"])
        {
            return new HeaderMeaning(ColumnRole.Quantity, "temperature", degrees, written);
        }

        if (role is ColumnRole.Unknown && LogWords.SpeaksOfTime(plain))
        {
            return new HeaderMeaning(ColumnRole.Time, Unit: unit is { Kind: UnitKind.Time } ? unit : null, WrittenUnit: written);
        }

        return role is ColumnRole.Other or ColumnRole.Unknown ? new HeaderMeaning(role, Why: meaning) : new HeaderMeaning(role, Unit: unit, WrittenUnit: written);
    }

    /// <summary>A column that the user names for a quantity.</summary>
    /// <param name="quantity">Its name, without a number behind it.</param>
    /// <param name="header">The header.</param>
    /// <param name="unitText">The unit that the user gave, or null.</param>
    /// <returns>Its meaning; null where the unit is none of this quantity.</returns>
    public static HeaderMeaning? Named(string quantity, string header, string? unitText)
    {
        var plain = HeaderText.Plain(header);
        var (rest, unit, written) = HeaderText.SplitUnit(plain);
        if (unitText is not null)
        {
            (unit, written) = (LogUnit.Of(HeaderText.Compact(HeaderText.Plain(unitText))), unitText);
            if (unit?.For(quantity) is null)
            {
                return null;
            }
        }

        var (from, to) = quantity == "number" ? CutOf(rest) : (null, null);
        var own = unit?.For(quantity);
        return new HeaderMeaning(ColumnRole.Quantity, quantity, own, own is null ? null : written, from, to);
    }

    private static HeaderMeaning OfQuantity(string quantity, List<string> words, LogUnit? unit, string? written)
    {
        if (LogWords.NotTheReading(words) is { } why)
        {
            return new HeaderMeaning(ColumnRole.Other, Why: why);
        }

        if (unit is null)
        {
            return new HeaderMeaning(ColumnRole.Quantity, quantity);
        }

        return unit.For(quantity) is { } own
            ? new HeaderMeaning(ColumnRole.Quantity, quantity, own, written)
            : new HeaderMeaning(ColumnRole.Other, Why: $"{written} is no unit of {quantity}");
    }

    /// <summary>PM of a size, or a number of particles.</summary>
    private static HeaderMeaning? Particles(string rest, List<string> words, string joined, LogUnit? unit, string? written)
    {
        var isIndex = LogWords.IsIndex(words, joined);
        var isCounted = unit is { Kind: UnitKind.Number }
            || words.Exists(static w => w is "number" or "count" or "counts" or "anzahl" or "nombre" or "numero" or "aantal" or "liczba" or "numbconc" or "nc" or "particles" or "partikel" or "ufp" or "cpc" or "cnt" or "pnc" or "lpc" or "pcs"
                || w.StartsWith("partikelanzahl", StringComparison.Ordinal) || w.StartsWith("partikelzahl", StringComparison.Ordinal) || w.StartsWith("particlecount", StringComparison.Ordinal));
        if (PmAt(rest) is { } pm)
        {
            if (isIndex)
            {
                return new HeaderMeaning(ColumnRole.Other, Why: "an index, which is never a mass");
            }

            if (LogWords.NotTheReading(words) is { } why)
            {
                return new HeaderMeaning(ColumnRole.Other, Why: why);
            }

            if (pm.IsNumber || isCounted)
            {
                // "nPM2.5" and "PM2.5 count" are what lies below that size.
                return new HeaderMeaning(ColumnRole.Quantity, "number", unit?.For("number"), unit?.For("number") is null ? null : written, CutToUm: pm.Um,
                    Assumed: unit is null ? "1/cm3" : null);
            }

            return pm.Quantity.Length == 0 ? new HeaderMeaning(ColumnRole.Other, Why: "a size of PM that is no quantity of a trial")
                : unit is null ? new HeaderMeaning(ColumnRole.Quantity, pm.Quantity)
                : unit.For(pm.Quantity) is { } own ? new HeaderMeaning(ColumnRole.Quantity, pm.Quantity, own, written)
                : new HeaderMeaning(ColumnRole.Other, Why: $"{written} is no unit of {pm.Quantity}");
        }

        if (words is ["p1"] or ["p2"] && unit is null or { Kind: UnitKind.Mass })
        {
            // The short names of one family of home-made stations.
            return new HeaderMeaning(ColumnRole.Quantity, words[0] == "p1" ? "pm10" : "pm25", unit, written, Assumed: words[0] == "p1" ? "PM10" : "PM2.5");
        }

        if (words.Exists(static w => w is "ratio" or "lpo") && words.Exists(static w => w is "p1" or "p2" or "lpo"))
        {
            return new HeaderMeaning(ColumnRole.Other, Why: "an occupancy of pulses, which is never a mass");
        }

        if (Size(rest, words, unit) is { } size && !isIndex)
        {
            var own = unit?.For("number");
            return new HeaderMeaning(ColumnRole.Quantity, "number", own ?? (size.IsAbove ? LogUnit.PerTenthLitre : LogUnit.PerHundredthFt3), own is null ? null : written, CutFromUm: size.Um,
                Assumed: own is not null ? null : size.IsAbove ? "counts in 0.1 litres" : "counts in 0.01 ft3");
        }

        if (isCounted && !isIndex && !IsBin(words) && (unit is { Kind: UnitKind.Number } || words.Exists(static w => w.StartsWith("partic", StringComparison.Ordinal) || w.StartsWith("partik", StringComparison.Ordinal) || w is "ufp" or "cpc" or "pnc" or "numbconc" or "number") || HasSizeInUm(rest)))
        {
            if (LogWords.NotTheReading(words) is { } why)
            {
                return new HeaderMeaning(ColumnRole.Other, Why: why);
            }

            var (from, to) = CutOf(rest);

            // Those who count by size and state no volume mean a tenth of a litre, as laser meters hand it out.
            var isBySize = unit is null && HasSizeInUm(rest);
            return unit is null or { Kind: UnitKind.Number }
                ? new HeaderMeaning(ColumnRole.Quantity, "number", isBySize ? LogUnit.PerTenthLitre : unit, written, from, to, Assumed: isBySize ? "counts in 0.1 litres" : unit is null ? "1/cm3" : null)
                : new HeaderMeaning(ColumnRole.Other, Why: $"{written} is no unit of a number of particles");
        }

        var isDust = words.Exists(static w => w.StartsWith("feinstaub", StringComparison.Ordinal) || w is "dust" or "particulate" or "particules" or "polvere" or "polveri" or "fijnstof" or "pyl" or "particulas" or "粉尘" or "粉塵");
        if (isDust && !isIndex && unit is null or { Kind: UnitKind.Mass })
        {
            var written25 = words.Find(static w => w is "10" or "1" or "1.0" or "1,0" or "4" or "2.5" or "2,5" or "25");
            var quantity = written25 is null ? "pm25" : Sizes.First(s => s.Text == written25).Quantity;
            return new HeaderMeaning(ColumnRole.Quantity, quantity, unit, written, Assumed: written25 is null ? "PM2.5" : null);
        }

        return null;
    }

    private static (string Quantity, double Um, bool IsNumber)? PmAt(string rest)
    {
        for (var at = rest.IndexOf("pm", StringComparison.Ordinal); at >= 0; at = rest.IndexOf("pm", at + 1, StringComparison.Ordinal))
        {
            // "npm2.5" is a number, "mpm2.5" a mass; other letters before it make another word.
            var before = at > 0 ? rest[at - 1] : ' ';
            var isWord = !char.IsAsciiLetter(before) || (before is 'n' or 'm' && (at < 2 || !char.IsAsciiLetterOrDigit(rest[at - 2])));
            var from = at + 2;
            while (from < rest.Length && rest[from] is ' ' or '_' or '-' or '.' or ':')
            {
                from++;
            }

            foreach (var (text, quantity, um) in Sizes)
            {
                if (isWord && rest.AsSpan(from).StartsWith(text) && (from + text.Length == rest.Length || !char.IsAsciiDigit(rest[from + text.Length])))
                {
                    return (quantity, um, before == 'n');
                }
            }
        }

        return null;
    }

    /// <summary>A header that is nothing but a size: ">0.3", "≥0.5um", "1um".</summary>
    private static (double Um, bool IsAbove)? Size(string rest, List<string> words, LogUnit? unit)
    {
        var text = rest.Replace("≥", ">", StringComparison.Ordinal).Replace(">=", ">", StringComparison.Ordinal);
        var compact = HeaderText.Compact(text);
        var isAbove = compact.StartsWith('>');
        var number = compact.TrimStart('>').Replace(',', '.');
        var hasUm = unit is null && number.EndsWith("um", StringComparison.Ordinal);
        number = hasUm ? number[..^2] : number;
        if (words.Count == 1 && (isAbove || hasUm) && Um(number) is { } um)
        {
            return (um, isAbove);
        }

        // "number_above_0.3um" and "count > 0.3" go the way of counted particles.
        return null;
    }

    /// <summary>The diameters between which particles count, from such texts as "above_0.3um", ">0.3", "0p5", "&lt;10".</summary>
    private static (double? From, double? To) CutOf(string rest)
    {
        var text = rest.Replace("above", ">", StringComparison.Ordinal).Replace("below", "<", StringComparison.Ordinal).Replace("≥", ">", StringComparison.Ordinal).Replace("over", ">", StringComparison.Ordinal);
        (double? from, double? to) = (null, null);
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] is '>' or '<' || (char.IsAsciiDigit(text[i]) && from is null && to is null && (i == 0 || !char.IsAsciiLetterOrDigit(text[i - 1]) || text[i - 1] == 'd' || text[i - 1] == 'c')))
            {
                var start = i;
                while (start < text.Length && !char.IsAsciiDigit(text[start]))
                {
                    start++;
                }

                var end = start;
                while (end < text.Length && (char.IsAsciiDigit(text[end]) || (text[end] is '.' or ',' or 'p' && end + 1 < text.Length && char.IsAsciiDigit(text[end + 1]))))
                {
                    end++;
                }

                var digits = text[start..end].Replace(',', '.').Replace('p', '.');
                if (Um(digits) is not { } um)
                {
                    break;
                }

                // "particles_03um" and "particles_100um": the last digit is a tenth.
                um = digits.Length >= 2 && !digits.Contains('.', StringComparison.Ordinal) && (digits[0] == '0' || (text.StartsWith("particles", StringComparison.Ordinal) && text.AsSpan(end).StartsWith("um"))) ? um / 10 : um;

                if (text[i] == '<')
                {
                    to = um;
                }
                else
                {
                    from = um;
                }

                i = end;
            }
        }

        return (from, to);
    }

    private static bool HasSizeInUm(string rest)
    {
        var at = rest.IndexOf("um", StringComparison.Ordinal);
        while (at > 0 && rest[at - 1] is ' ' or '_')
        {
            at--;
        }

        return at > 0 && char.IsAsciiDigit(rest[at - 1]);
    }

    private static double? Um(string number) =>
        double.TryParse(number, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var um) && um is >= 0.001 and <= 100 ? um : null;

    private static bool IsBin(List<string> words) =>
        words.Exists(static w => w.StartsWith("bin", StringComparison.Ordinal) && (w.Length == 3 || char.IsAsciiDigit(w[3])))
        || (words.Count == 1 && double.TryParse(words[0], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out _));
}
