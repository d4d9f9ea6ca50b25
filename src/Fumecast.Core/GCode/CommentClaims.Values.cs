// SPDX-License-Identifier: MIT
using System.Text;

namespace Fumecast.GCode;

/// <content>From the value of a claim to numbers and words.</content>
internal sealed partial class CommentClaims
{
    private const int LongestKept = 1000;

    // Densities of filament lie between 0.5 and 12 g/cm3; a number beyond this is in kg/m3.
    private const double GreatestDensityGPerCm3 = 100;

    // Filament of 1.75 mm has 2.4 mm3 per mm and so 0.0024 cm3 per mm: this tells the two apart for any diameter above 0.5 mm.
    private const double LeastMm3PerMm = 0.2;

    private static bool TakeToolNumber(ref ReadOnlySpan<byte> text, out int tool)
    {
        tool = 0;
        var length = 0;
        while (length < text.Length && length < 3 && char.IsAsciiDigit((char)text[length]))
        {
            tool = (tool * 10) + text[length++] - '0';
        }

        text = text[length..];
        return length > 0;
    }

    /// <summary>Splits separator and value off what follows a key.</summary>
    private static bool TakeValue(ReadOnlySpan<byte> rest, out byte separator, out ReadOnlySpan<byte> value)
    {
        rest = rest.TrimStart(" \t"u8);
        separator = rest.IsEmpty ? (byte)0 : rest[0];
        if (separator is not ((byte)':' or (byte)'=' or (byte)','))
        {
            value = default;
            return false;
        }

        // "--- print time: 806s ---"
        value = rest[1..].TrimStart(" \t"u8).TrimEnd(" \t-"u8);
        return true;
    }

    private static ReadOnlySpan<byte> BeforeTag(ReadOnlySpan<byte> text)
    {
        var end = text.IndexOf((byte)'<');
        return (end < 0 ? text : text[..end]).Trim(" \t"u8);
    }

    private static bool IsYes(ReadOnlySpan<byte> value) => value.SequenceEqual("1"u8) || Ascii.EqualsIgnoreCase(value, "true"u8);

    private void SetTime(int rank, double seconds, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        _time.Set(ClaimKey.Time, rank, [seconds], line);
        Keep(name, value, line);
    }

    private void ReadModelAndTotal(ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        var end = value.IndexOf((byte)';');
        var model = ClaimText.Duration(end < 0 ? value : value[..end]);
        double? total = null;
        if (end >= 0 && value[end..].IndexOf((byte)':') is >= 0 and var colon)
        {
            total = ClaimText.Duration(value[(end + colon + 1)..]);
        }

        if ((total ?? model) is > 0 and { } seconds && _time.Wants(ClaimKey.Time, Sure))
        {
            MotionTimeS = total is null ? null : model;
            SetTime(Sure, seconds, name, value, line);
        }
    }

    /// <summary>Reads a list of numbers, one per tool. A value outside its range makes the whole list suspect.</summary>
    private void ReadNumbers(
        ToolValues<double?> target, ClaimKey key, int rank, int tool, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line,
        double least, double greatest)
    {
        if (!target.Wants(key, rank))
        {
            return;
        }

        var numbers = new List<double?>();
        var list = value;
        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            double? number = ClaimText.TakeNumber(ref entry, out var parsed) && parsed != 0 ? parsed : null;
            if (key == ClaimKey.Density && number > GreatestDensityGPerCm3)
            {
                number /= 1000;
            }

            if (number < least || number > greatest)
            {
                return;
            }

            numbers.Add(number);
        }

        if (tool >= 0 && numbers is [{ } one])
        {
            target.Set(key, rank, tool, one, line);
            Keep(name, value, line);
        }
        else if (tool < 0 && numbers.Exists(static number => number is not null))
        {
            target.Set(key, rank, numbers, line);
            Keep(name, value, line);
        }
    }

    private void ReadWords(
        ToolValues<string> target, ClaimKey key, int rank, int tool, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        if (!target.Wants(key, rank))
        {
            return;
        }

        var words = new List<string?>();
        var list = value;
        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            words.Add(entry.IsEmpty ? null : ByteText.Decode(entry));
        }

        if (tool >= 0 && words is [{ } one])
        {
            target.Set(key, rank, tool, one, line);
            Keep(name, value, line);
        }
        else if (tool < 0 && words.Exists(static word => word is not null))
        {
            target.Set(key, rank, words, line);
            Keep(name, value, line);
        }
    }

    /// <summary>Reads set points of nozzle and bed in one list, alone or as layer|value: the nozzle is the hotter one.</summary>
    private void ReadHottest(ClaimKey key, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        var hottestC = 0.0;
        var isValue = key == ClaimKey.TemperatureSetpoints;
        var list = value;
        while (ClaimText.TakeEntry(ref list, out var entry))
        {
            if (isValue && ClaimText.TakeNumber(ref entry, out var number))
            {
                hottestC = Math.Max(hottestC, number);
            }

            isValue = key == ClaimKey.TemperatureSetpoints || !isValue;
        }

        if (hottestC > 0 && _nozzle.Wants(key, Sure))
        {
            _nozzle.Set(key, Sure, [hottestC], line);
            Keep(name, value, line);
        }
    }

    /// <summary>Reads "EXTRUDER_TRAIN.0.NOZZLE.DIAMETER:0.4" and its kin.</summary>
    private void ReadExtruderTrain(ReadOnlySpan<byte> body, ReadOnlySpan<byte> rest, long line)
    {
        if (!TakeToolNumber(ref rest, out var tool))
        {
            return;
        }

        if (rest.StartsWith(".NOZZLE.DIAMETER"u8))
        {
            ReadNumbered(ClaimKey.NozzleDiameter, tool, body, rest[".NOZZLE.DIAMETER".Length..], line);
        }
        else if (rest.StartsWith(".INITIAL_TEMPERATURE"u8))
        {
            ReadNumbered(ClaimKey.NozzleTemperature, tool, body, rest[".INITIAL_TEMPERATURE".Length..], line);
        }
        else if (rest.StartsWith(".MATERIAL.VOLUME_USED"u8))
        {
            ReadNumbered(ClaimKey.FilamentMm3, tool, body, rest[".MATERIAL.VOLUME_USED".Length..], line);
        }
    }

    /// <summary>Reads the value behind a key that holds the tool number.</summary>
    private void ReadNumbered(ClaimKey key, int tool, ReadOnlySpan<byte> body, ReadOnlySpan<byte> rest, long line)
    {
        if (!TakeValue(rest, out var separator, out var value))
        {
            return;
        }

        var name = body[..(body.Length - rest.Length)];
        if (key is ClaimKey.NozzleDiameter or ClaimKey.NozzleTemperature)
        {
            ReadPair(key, tool, separator, name, value, line);
        }
        else
        {
            ReadFilament(key, tool, name, value, line);
        }
    }

    private void ReadFilament(ClaimKey key, int tool, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        if (!_filamentMm.Wants(key, Sure) && !_filamentMm3.Wants(key, Sure) && !_filamentG.Wants(key, Sure))
        {
            return;
        }

        var amounts = FilamentAmounts.Read(key, value);
        if (key == ClaimKey.FilamentVolumeMislabelled && FilamentMm is { } lengthMm && amounts.Mm3.Sum() < LeastMm3PerMm * lengthMm)
        {
            amounts = FilamentAmounts.Read(ClaimKey.FilamentCm3, value);
        }

        var isTaken = SetAmounts(_filamentMm, key, tool, amounts.Mm, line);
        isTaken |= SetAmounts(_filamentMm3, key, tool, amounts.Mm3, line);
        isTaken |= SetAmounts(_filamentG, key, tool, amounts.G, line);
        if (isTaken)
        {
            Keep(name, value, line);

            // One generator states volumes here exactly when its E words are volumes.
            SaysVolumetricE |= amounts.IsVolumeOnly && Ascii.EqualsIgnoreCase(name, "filament used"u8);
        }
    }

    private static bool SetAmounts(ToolValues<double?> target, ClaimKey key, int tool, List<double?> amounts, long line)
    {
        if (!(amounts.Sum() > 0) || !target.Wants(key, Sure))
        {
            return false;
        }

        if (tool >= 0)
        {
            target.Set(key, Sure, tool, amounts[0]!.Value, line);
        }
        else
        {
            target.Set(key, Sure, amounts, line);
        }

        return true;
    }

    private void Keep(ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        if (_all.Count < MostClaims)
        {
            // The text is for showing only; a broken file may hold a megabyte of it in one line.
            value = value[..Math.Min(value.Length, LongestKept)];
            _all.Add(new CommentClaim(ByteText.Decode(name.Trim(" \t"u8)), ByteText.Decode(value), line));
        }
    }
}
