// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>The native drawing library, which lies beside the program as a file of its own.</summary>
public static class DrawingLibrary
{
    /// <summary>Loads it, so that its absence is found before the work and not after it.</summary>
    /// <exception cref="InputProblem">It is missing or does not fit the machine.</exception>
    public static void Require()
    {
        try
        {
            using var probe = new SKPath();
        }
        catch (Exception e) when (e is TypeInitializationException or DllNotFoundException or BadImageFormatException)
        {
            throw new InputProblem(
                "no picture can be drawn: the library libSkiaSharp, which belongs beside the program, is missing or does not fit this machine; "
                + "install fumecast with all its files, or leave the picture out");
        }
    }
}
