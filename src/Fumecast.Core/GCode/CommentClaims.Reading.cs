// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <content>From the text of a comment to a claim.</content>
internal sealed partial class CommentClaims
{
    private const int Sure = 0;
    private const int Vague = 1;
    private const int FromCommands = 2;
    private const int FromMarks = 3;
    private const int Loose = 4;

    /// <summary>Reads the text behind a semicolon.</summary>
    /// <param name="text">The text.</param>
    /// <param name="line">Its line, 1-based; 0 where it is not known [-].</param>
    internal void ReadComment(ReadOnlySpan<byte> text, long line)
    {
        var start = 0;
        while (start < text.Length && text[start] is (byte)' ' or (byte)'\t' or (byte)';' or (byte)'-' or (byte)'>' or (byte)'*')
        {
            start++;
        }

        var body = text[start..];
        if (_isInThumbnail && IsThumbnail(body))
        {
            return;
        }

        var key = ClaimKeyTable.Find(body, out var length);
        if (key >= ClaimKey.LayerNumbered)
        {
            _layers.Read(key, body[length..]);
            if (key == ClaimKey.LayerNumbered)
            {
                ReadLayerOfCount(body[length..], line);
            }
        }
        else if (key != ClaimKey.None)
        {
            ReadKnown(key, text[..start], body, length, line);
        }
    }

    /// <summary>Reads the text between brackets.</summary>
    /// <param name="text">The text.</param>
    /// <param name="line">Its line, 1-based [-].</param>
    internal void ReadBracket(ReadOnlySpan<byte> text, long line) => ReadComment(text, line);

    /// <summary>Reads a progress command: M73 P, percent done; R, minutes left; L, layer.</summary>
    internal void ReadProgress(GCodeCommand command)
    {
        if (command.Get('R') > 0 && _time.Wants(ClaimKey.Time, FromCommands))
        {
            SetTime(FromCommands, command.Get('R') * 60, "M73 R"u8, System.Text.Encoding.ASCII.GetBytes(FormattableString.Invariant($"{command.Get('R')}")), command.Line);
        }

        if (command.Has('L'))
        {
            _layers.ReadNumber(command.Get('L'));
        }
    }

    /// <summary>Reads a text for the printer's display: <c>Time Left 3h59m15s</c>.</summary>
    internal void ReadDisplay(GCodeCommand command)
    {
        const string Start = "Time Left";
        if (command.Text.StartsWith(Start, StringComparison.Ordinal) && _time.Wants(ClaimKey.Time, FromMarks))
        {
            var value = System.Text.Encoding.UTF8.GetBytes(command.Text[Start.Length..]);
            if (ClaimText.Duration(value) is > 0 and var seconds)
            {
                SetTime(FromMarks, seconds, "M117"u8, value, command.Line);
            }
        }
    }

    /// <summary>Takes what a container says about its filaments.</summary>
    internal void ReadSummary(ContainerSummary summary)
    {
        foreach (var filament in summary.Filaments)
        {
            if (filament.Type is { } type)
            {
                _material.Set(ClaimKey.None, Sure, filament.Tool, type, 0);
                Keep("filament type"u8, System.Text.Encoding.UTF8.GetBytes(type), 0);
            }

            if (filament.UsedMm is > 0 and { } length)
            {
                _filamentMm.Set(ClaimKey.None, Sure, filament.Tool, length, 0);
            }

            if (filament.UsedG is > 0 and { } mass)
            {
                _filamentG.Set(ClaimKey.None, Sure, filament.Tool, mass, 0);
            }
        }
    }

    /// <summary>Base64 has neither blank nor colon; a line that has means that the end mark is missing.</summary>
    private bool IsThumbnail(ReadOnlySpan<byte> body)
    {
        var isEnd = body.StartsWith("thumbnail"u8) || body.StartsWith("THUMBNAIL"u8);
        _isInThumbnail = !isEnd && body.IndexOfAny(" :"u8) < 0;
        return isEnd || _isInThumbnail;
    }

    private void ReadKnown(ClaimKey key, ReadOnlySpan<byte> lead, ReadOnlySpan<byte> body, int length, long line)
    {
        var rest = body[length..];
        switch (key)
        {
            case ClaimKey.Thumbnail:
                _isInThumbnail = rest.IndexOf(" begin"u8) is >= 0 and <= 8;
                return;
            case ClaimKey.ExtruderTrain:
                ReadExtruderTrain(body, rest, line);
                return;
            case ClaimKey.FilamentPerMaterial:
                if (!TakeToolNumber(ref rest, out var material) || !rest.StartsWith(" Used"u8))
                {
                    return;
                }

                ReadNumbered(key, material - 1, body, rest[" Used".Length..], line);
                return;
            case ClaimKey.FilamentPerExtruder:
                rest = rest.TrimStart(" #"u8);
                if (TakeToolNumber(ref rest, out var extruder))
                {
                    rest = rest.StartsWith(" (mm)"u8) ? rest[" (mm)".Length..] : rest;
                    ReadNumbered(key, extruder - 1, body, rest, line);
                }

                return;
            case ClaimKey.TimeByMode:
                if (rest.StartsWith(" (normal mode)"u8))
                {
                    rest = rest[" (normal mode)".Length..];
                }

                key = ClaimKey.Time;
                break;
            case ClaimKey.MaterialNote:
                // "material : PLA -> PLA" tells of a tool change; only the indented notes name the material.
                if (lead.IndexOf((byte)'>') < 0)
                {
                    // "material: PLA", "material = PETG" and "material PLA" alike.
                    var isPair = TakeValue(rest, out var sign, out var names) && sign != (byte)',';
                    ReadPlain(ClaimKey.PlainMaterial, body[..length], isPair ? names : rest, isPair, line);
                    return;
                }

                key = ClaimKey.Material;
                break;
            case >= ClaimKey.PlainMaterial:
                ReadPlain(key, body[..length], rest, isPair: false, line);
                return;
        }

        var tool = -1;
        if (rest.StartsWith(" #"u8))
        {
            rest = rest[2..];
            if (!TakeToolNumber(ref rest, out tool) || --tool < 0)
            {
                return;
            }
        }
        else if (rest.Length > 1 && rest[0] == (byte)'_' && char.IsAsciiDigit((char)rest[1]))
        {
            rest = rest[1..];
            _ = TakeToolNumber(ref rest, out tool);
        }

        if (TakeValue(rest, out var separator, out var value) || body[0] == (byte)'<')
        {
            ReadPair(key, tool, separator, body[..(body.Length - rest.Length)], body[0] == (byte)'<' ? BeforeTag(rest) : value, line);
        }
        else if (tool < 0)
        {
            ReadPlain(key, body[..length], rest, isPair: false, line);
        }
    }

    private void ReadPair(ClaimKey key, int tool, byte separator, ReadOnlySpan<byte> name, ReadOnlySpan<byte> value, long line)
    {
        switch (key)
        {
            case ClaimKey.Time:
                if (ClaimText.Duration(value) is > 0 and var seconds && _time.Wants(key, Sure))
                {
                    SetTime(Sure, seconds, name, value, line);
                }

                break;
            case ClaimKey.TimeModelAndTotal:
                ReadModelAndTotal(name, value, line);
                break;
            case ClaimKey.TimeElapsed:
                if (ClaimText.TakeNumber(ref value, out var elapsedS) && elapsedS > _elapsedS)
                {
                    _elapsedS = elapsedS;
                }

                break;
            case ClaimKey.TimeRemaining:
                if (_time.Wants(ClaimKey.Time, FromMarks) && ClaimText.TakeNumber(ref value, out var leftS) && leftS > 0)
                {
                    SetTime(FromMarks, leftS, name, value, line);
                }

                break;
            case ClaimKey.Material or ClaimKey.MaterialProfile:
                ReadWords(_material, key, key == ClaimKey.Material ? Sure : Vague, tool, name, value, line);
                break;
            case ClaimKey.Diameter:
                ReadNumbers(_diameter, key, Sure, tool, name, value, line, 0.5, 12);
                break;
            case ClaimKey.Density:
                ReadNumbers(_density, key, Sure, tool, name, value, line, 0.5, 12);
                break;
            case ClaimKey.NozzleDiameter:
                ReadNumbers(_nozzleDiameter, key, Sure, tool, name, value, line, 0.05, 10);
                break;
            case ClaimKey.NozzleTemperature:
                ReadNumbers(_nozzle, key, Sure, tool, name, value, line, 1, 1000);
                break;
            case ClaimKey.FirstLayerNozzleTemperature:
                ReadNumbers(_nozzle, key, Vague, tool, name, value, line, 1, 1000);
                break;
            case ClaimKey.TemperatureSetpoints or ClaimKey.TemperatureLayerSetpoints:
                ReadHottest(key, name, value, line);
                break;
            case ClaimKey.LayerHeight:
                // "LAYER_HEIGHT: 0.2" in the body is that of one layer.
                if (LayerHeightMm is null && !(separator == (byte)':' && name[0] == (byte)'L' && name[1] == (byte)'A')
                    && ClaimText.TakeNumber(ref value, out var heightMm) && heightMm > 0 && !value.StartsWith("%"u8))
                {
                    LayerHeightMm = heightMm;
                    Keep(name, System.Text.Encoding.ASCII.GetBytes(FormattableString.Invariant($"{heightMm}")), line);
                }

                break;
            case ClaimKey.LayerCount:
                if (LayerCount is null && ClaimText.TakeNumber(ref value, out var count) && count is >= 1 and <= 1e6)
                {
                    LayerCount = (int)count;
                    Keep(name, System.Text.Encoding.ASCII.GetBytes(FormattableString.Invariant($"{LayerCount}")), line);
                }

                break;
            case ClaimKey.Flavour:
                var flavour = ByteText.Decode(value[..Math.Min(value.Length, LongestKept)]);
                Flavour ??= flavour;
                SaysVolumetricE |= flavour.Contains("volumetric", StringComparison.OrdinalIgnoreCase);
                Keep(name, value, line);
                break;
            case ClaimKey.VolumetricE:
                SaysVolumetricE |= IsYes(value);
                Keep(name, value, line);
                break;
            case ClaimKey.RelativeE:
                SaysRelativeE |= IsYes(value);
                Keep(name, value, line);
                break;
            default:
                ReadFilament(key, -1, name, value, line);
                break;
        }
    }
}
