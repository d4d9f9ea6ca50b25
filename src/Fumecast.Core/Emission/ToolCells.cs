// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>What the tools of a job gave off by component, in equal cells of bounded number, so that air can follow any draw of the figures.</summary>
/// <remarks>The cells are the bins of the forecast; when there are too many of them, two become one.</remarks>
/// <param name="binS">Length of the bins that come [s], over 0.</param>
internal sealed class ToolCells(double binS)
{
    private const int MostCells = 8192;

    // Beyond this a job is a damaged file; the clamp keeps cell numbers whole.
    private const double LongestS = 1e12;

    private readonly List<List<ToolBin>> _ofTool = [];

    /// <summary>Length of a cell [s]; the last one ends with the job.</summary>
    public double CellS { get; private set; } = binS;

    /// <summary>Number of cells [-].</summary>
    public int Count { get; private set; }

    /// <summary>End of the job [s].</summary>
    public double EndS { get; private set; }

    /// <summary>Tools that gave off anything, numbered as in <see cref="EmissionAccumulator.Emitters"/> [-].</summary>
    public int Tools => _ofTool.Count;

    /// <summary>What a tool gave off in a cell.</summary>
    /// <param name="tool">The tool's number in <see cref="EmissionAccumulator.Emitters"/>.</param>
    /// <param name="cell">The cell.</param>
    public ToolBin At(int tool, int cell) => cell < _ofTool[tool].Count ? _ofTool[tool][cell] : default;

    /// <summary>Length of a cell [s].</summary>
    /// <param name="cell">The cell.</param>
    public double Seconds(int cell) => Math.Min(CellS, EndS - cell * CellS);

    /// <summary>Adds a bin, in order.</summary>
    /// <param name="startS">Its start since the beginning of the job [s].</param>
    /// <param name="durationS">Its length [s], over 0.</param>
    /// <param name="components">What <see cref="EmissionAccumulator.CloseBin"/> gave for it.</param>
    public void Add(double startS, double durationS, ReadOnlySpan<double> components)
    {
        var endS = startS + durationS;
        if (!(durationS > 0) || !(startS >= 0 && endS < LongestS))
        {
            return;
        }

        while (endS > MostCells * CellS * (1 + 1e-9))
        {
            JoinPairs();
        }

        EndS = Math.Max(EndS, endS);
        var cell = Math.Min(MostCells - 1, (int)((startS + durationS / 2) / CellS));
        Count = Math.Max(Count, cell + 1);
        for (var at = 0; at < components.Length; at += 1 + ToolBin.Length)
        {
            Put((int)components[at], cell, ToolBin.Unpack(components.Slice(at + 1, ToolBin.Length)));
        }
    }

    /// <summary>Two stretches of one tool as one.</summary>
    /// <param name="first">The earlier one.</param>
    /// <param name="then">The later one.</param>
    public static ToolBin Join(in ToolBin first, in ToolBin then)
    {
        if (IsEmpty(in first))
        {
            return then;
        }

        if (IsEmpty(in then))
        {
            return first;
        }

        return new ToolBin
        {
            PrintingOwnG = first.PrintingOwnG + then.PrintingOwnG,
            RestingOwnG = first.RestingOwnG + then.RestingOwnG,
            MassG = first.MassG + then.MassG,
            PrintingS = first.PrintingS + then.PrintingS,
            RestingS = first.RestingS + then.RestingS,
            StepGK = first.StepGK + then.StepGK,
            LeftAtStart = first.LeftAtStart,
            LeftAtEnd = then.LeftAtEnd,
            AgeWithoutCap = then.AgeWithoutCap,
            AgeStepK = then.AgeStepK,
            TvocOwnG = first.TvocOwnG + then.TvocOwnG,
            TvocMassG = first.TvocMassG + then.TvocMassG,
            TvocStepGK = first.TvocStepGK + then.TvocStepGK,
            Number = first.Number + then.Number,
            TvocUg = first.TvocUg + then.TvocUg,
        };
    }

    /// <summary>A share of a stretch, as though it were even within.</summary>
    /// <param name="bin">The stretch.</param>
    /// <param name="share">The share, 0 to 1 [-].</param>
    public static ToolBin Part(in ToolBin bin, double share) => bin with
    {
        PrintingOwnG = bin.PrintingOwnG * share,
        RestingOwnG = bin.RestingOwnG * share,
        MassG = bin.MassG * share,
        PrintingS = bin.PrintingS * share,
        RestingS = bin.RestingS * share,
        StepGK = bin.StepGK * share,
        TvocOwnG = bin.TvocOwnG * share,
        TvocMassG = bin.TvocMassG * share,
        TvocStepGK = bin.TvocStepGK * share,
        Number = bin.Number * share,
        TvocUg = bin.TvocUg * share,
    };

    /// <summary>Whether nothing was hot meanwhile.</summary>
    /// <param name="bin">The stretch.</param>
    public static bool IsEmpty(in ToolBin bin) => !(bin.PrintingS + bin.RestingS > 0);

    private void Put(int tool, int cell, in ToolBin bin)
    {
        while (_ofTool.Count <= tool)
        {
            _ofTool.Add([]);
        }

        var cells = _ofTool[tool];
        while (cells.Count <= cell)
        {
            cells.Add(default);
        }

        cells[cell] = Join(cells[cell], in bin);
    }

    private void JoinPairs()
    {
        foreach (var cells in _ofTool)
        {
            var half = (cells.Count + 1) / 2;
            for (var i = 0; i < half; i++)
            {
                cells[i] = 2 * i + 1 < cells.Count ? Join(cells[2 * i], cells[2 * i + 1]) : cells[2 * i];
            }

            cells.RemoveRange(half, cells.Count - half);
        }

        Count = (Count + 1) / 2;
        CellS *= 2;
    }
}
