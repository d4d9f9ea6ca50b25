// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Heat;

namespace Fumecast.Machine;

/// <summary>The nozzles of all tools: which tool has which, how hot they get, and whether their heater can melt what flows.</summary>
/// <remarks>
/// Filament carries heat off. Where that would let a nozzle sink below the cold limit, the profile's heater is too small for the job, for a
/// real printer would have refused or jammed: from then on the heater of that nozzle is taken to hold its set point, and the record says so.
/// </remarks>
internal sealed class Nozzles
{
    /// <summary>Shorter slices tell little of what the heater must give over a second [s].</summary>
    private const double LeastS = 0.5;

    private readonly PrinterProfile _profile;
    private readonly double[] _filamentHeat = new double[SimulationOptions.MaxTools];
    private readonly Nozzle?[] _nozzles = new Nozzle?[SimulationOptions.MaxTools];
    private readonly int[] _numbers = new int[SimulationOptions.MaxTools];
    private readonly ToolRecord[] _records = new ToolRecord[SimulationOptions.MaxTools];

    public Nozzles(PrinterProfile profile, SimulationOptions options)
    {
        _profile = profile;
        for (var tool = 0; tool < SimulationOptions.MaxTools; tool++)
        {
            // A heater that is known by its rates alone has no watts to compare with.
            _filamentHeat[tool] = profile.Nozzle.IsInWatts && tool < options.FilamentHeatJPerKMm3.Count ? options.FilamentHeatJPerKMm3[tool] : 0;
            _records[tool] = new ToolRecord();
            _numbers[tool] = tool;
        }
    }

    /// <summary>Tools up to the highest that has a nozzle [-].</summary>
    public int Count { get; private set; }

    /// <summary>Records by tool.</summary>
    public ReadOnlySpan<ToolRecord> Records => _records;

    /// <summary>The heater of a tool's nozzle.</summary>
    /// <param name="tool">The tool [-].</param>
    public Heater HeaterOf(int tool) => Of(tool).Heater;

    /// <summary>The number of a tool's nozzle: its own, or that of the tool whose nozzle it shares [-].</summary>
    /// <param name="tool">The tool [-].</param>
    public int NumberOf(int tool) => _numbers[tool];

    /// <summary>Lets a tool use the nozzle of another, as on printers that change the filament of one nozzle.</summary>
    /// <param name="tool">The tool [-].</param>
    /// <param name="other">The tool whose nozzle it shares [-].</param>
    public void Share(int tool, int other)
    {
        _nozzles[tool] = Of(other);
        _numbers[tool] = _numbers[other];
        Count = Math.Max(Count, tool + 1);
    }

    /// <summary>Lets time pass for the tool at work.</summary>
    /// <param name="tool">The tool [-].</param>
    /// <param name="startS">When the stretch begins [s].</param>
    /// <param name="durationS">Its length, over 0 [s].</param>
    /// <param name="fanShare">Share of full speed of the part fan [-].</param>
    /// <param name="mm3">What is deposited in it [mm3].</param>
    /// <returns>Mean temperature over the stretch [degC].</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double Work(int tool, double startS, double durationS, double fanShare, double mm3)
    {
        var nozzle = Of(tool);
        var heater = nozzle.Heater;
        if (!(mm3 > 0))
        {
            heater.Advance(durationS, fanShare, 0);
            return heater.LastMeanC;
        }

        var record = _records[tool];
        var flowWPerK = mm3 / durationS * _filamentHeat[tool];
        var wasHot = heater.TemperatureC >= _profile.ColdLimitC;
        var asksTooMuch = false;
        if (durationS >= LeastS && heater.TargetC is { } wished)
        {
            var neededW = _profile.Nozzle.PowerAt(wished - heater.AmbientC, fanShare, flowWPerK);
            record.Ask(neededW);
            asksTooMuch = _profile.Nozzle.IsInWatts && neededW > _profile.Nozzle.PowerW;
        }

        heater.Advance(durationS, fanShare, nozzle.HoldsWhateverFlows ? 0 : flowWPerK);
        if (asksTooMuch && !nozzle.HoldsWhateverFlows && heater.TargetC is { } held)
        {
            record.Sink(held - heater.LastMeanC);
        }

        if (wasHot && heater.TemperatureC < _profile.ColdLimitC && !nozzle.HoldsWhateverFlows && heater.TargetC is { } target
            && target >= _profile.ColdLimitC)
        {
            nozzle.HoldsWhateverFlows = true;
            record.HeaterTooSmallFromS = startS;
            heater.StartAt(target);
        }

        record.Deposit(mm3, heater.LastMeanC);
        return heater.LastMeanC;
    }

    /// <summary>Lets time pass for a tool that waits.</summary>
    /// <param name="tool">The tool [-].</param>
    /// <param name="active">The tool at work [-].</param>
    /// <param name="durationS">Length of the stretch [s].</param>
    /// <returns>Mean temperature over the stretch [degC]; null without a nozzle that no other tool stands for.</returns>
    public double? Wait(int tool, int active, double durationS)
    {
        if (_nozzles[tool] is not { } nozzle || nozzle == _nozzles[active] || Array.IndexOf(_nozzles, nozzle) < tool)
        {
            return null;
        }

        nozzle.Heater.Advance(durationS, 0, 0);
        return nozzle.Heater.LastMeanC;
    }

    private Nozzle Of(int tool)
    {
        Count = Math.Max(Count, tool + 1);
        return _nozzles[tool] ??= new Nozzle(new Heater(_profile.Nozzle, _profile.AmbientC));
    }

    private sealed class Nozzle(Heater heater)
    {
        public Heater Heater { get; } = heater;

        public bool HoldsWhateverFlows { get; set; }
    }
}
