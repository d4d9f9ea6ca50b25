// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>What the generator of a job claims in its comments; claims never change what is simulated.</summary>
public sealed class CommentClaims
{
    private long _progressLine;

    /// <summary>Marks of a new layer seen so far [-].</summary>
    public int LayerMarkCount { get; private set; }

    /// <summary>Reads the text behind a semicolon.</summary>
    internal void ReadComment(ReadOnlySpan<byte> text, long line)
    {
        if (text.StartsWith("LAYER:"u8))
        {
            LayerMarkCount++;
        }
    }

    /// <summary>Reads the text between brackets.</summary>
    internal void ReadBracket(ReadOnlySpan<byte> text, long line) => ReadComment(text, line);

    /// <summary>Reads a progress command, M73.</summary>
    internal void ReadProgress(GCodeCommand command) => _progressLine = command.Line;
}
