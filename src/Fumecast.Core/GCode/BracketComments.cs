// SPDX-License-Identifier: MIT
using Fumecast.GCode.Generated;

namespace Fumecast.GCode;

/// <summary>Reads comments in brackets.</summary>
internal sealed class BracketComments(ReaderFindings findings, CommentClaims claims)
{
    /// <summary>Passes a bracket comment to the claims and says what is unusual about it.</summary>
    internal void Read(GCodeParser.BracketCommentContext context, ReadOnlySpan<byte> bytes, long line)
    {
        var column = context.Start.StartIndex + 1;
        var inside = bytes[1..];
        if (context.OPEN_PARENS() is not null)
        {
            findings.OpenBrackets(line, column, bytes);
        }
        else
        {
            inside = inside[..^1];
            if (inside.IndexOf((byte)'(') >= 0)
            {
                findings.NestedBrackets(line, column, bytes);
            }
        }

        findings.BracketComment(line, column, bytes);
        claims.ReadBracket(inside, line);
    }
}
