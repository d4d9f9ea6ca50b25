// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Forecast.TestPrint;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>A plain re-reader of a test print: keeps the straight pieces of its print phase, and every other line as text.</summary>
internal sealed class PrintedPath : TextWriter
{
    private readonly StringBuilder _line = new();
    private string _phase = "head";
    private double _x, _y, _z, _e, _feed;
    private bool _relative;

    public override Encoding Encoding => Encoding.UTF8;

    /// <summary>End of each piece, its length [mm], filament [mm] and feed word [mm/min].</summary>
    public List<(double X, double Y, double Z, double LengthMm, double EMm, double Feed)> Pieces { get; } = [];

    /// <summary>Where the print phase starts.</summary>
    public (double X, double Y, double Z) Start { get; private set; }

    /// <summary>Lines outside the pieces, with the phase they stand in.</summary>
    public List<(string Phase, string Line)> Others { get; } = [];

    public static PrintedPath Of(TestPrintPlan plan)
    {
        var path = new PrintedPath();
        TestPrintWriter.Write(plan, path);
        return path;
    }

    public override void Write(char value)
    {
        if (value != '\n')
        {
            _line.Append(value);
            return;
        }

        Read(_line.ToString());
        _line.Clear();
    }

    public override void Write(char[] buffer, int index, int count)
    {
        for (var rest = buffer.AsSpan(index, count); !rest.IsEmpty;)
        {
            var end = rest.IndexOf('\n');
            _line.Append(end < 0 ? rest : rest[..end]);
            if (end < 0)
            {
                break;
            }

            Write('\n');
            rest = rest[(end + 1)..];
        }
    }

    private void Read(string line)
    {
        if (line.StartsWith("; phase: ", StringComparison.Ordinal))
        {
            _phase = line[9..].Split(',')[0];
        }

        _relative |= line.StartsWith("M83", StringComparison.Ordinal);
        if (line == "G92 E0")
        {
            _e = 0;
        }

        if (!(line.StartsWith("G1 ", StringComparison.Ordinal) || line.StartsWith("G0 ", StringComparison.Ordinal)))
        {
            Others.Add((_phase, line));
            return;
        }

        var (x, y, z, fed) = (_x, _y, _z, 0.0);
        for (var rest = line.AsSpan(3); ;)
        {
            var end = rest.IndexOf(' ');
            var word = end < 0 ? rest : rest[..end];
            var value = double.Parse(word[1..], CultureInfo.InvariantCulture);
            switch (word[0])
            {
                case 'X': x = value; break;
                case 'Y': y = value; break;
                case 'Z': z = value; break;
                case 'F': _feed = value; break;
                case 'E':
                    fed = _relative ? value : value - _e;
                    _e = value;
                    break;
                default: throw new InvalidDataException(line);
            }

            if (end < 0)
            {
                break;
            }

            rest = rest[(end + 1)..];
        }

        var length = Math.Sqrt((x - _x) * (x - _x) + (y - _y) * (y - _y) + (z - _z) * (z - _z));
        if (_phase == "printing" && length > 0)
        {
            if (Pieces.Count == 0)
            {
                Start = (_x, _y, _z);
            }

            Pieces.Add((x, y, z, length, fed, _feed));
        }
        else
        {
            Others.Add((_phase, line));
        }

        (_x, _y, _z) = (x, y, z);
    }
}
