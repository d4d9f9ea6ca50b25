// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Reads the comments at both ends of a file: headers and footers hold nearly all claims.</summary>
internal static class ClaimPeek
{
    private const int EndBytes = 256 * 1024;

    /// <summary>Reads the claims; null when the file is compressed or a container.</summary>
    internal static CommentClaims? Read(FileStream file, string name)
    {
        try
        {
            var buffer = new byte[EndBytes];
            var front = buffer.AsSpan(0, file.ReadAtLeast(buffer, EndBytes, throwOnEndOfStream: false));
            if (front is [0x1F, 0x8B, ..] || front.StartsWith("PK"u8))
            {
                return null;
            }

            JobOpener.RefuseOtherKinds(name, front[..Math.Min(front.Length, 4096)]);
            var claims = new CommentClaims();
            var length = file.Length;
            var next = ReadLines(claims, front, isWhole: front.Length < EndBytes || length <= EndBytes, firstLine: 1);
            if (length > EndBytes)
            {
                // Where both ends overlap, the line numbers go on; else they are not known.
                var from = Math.Max(next.Offset, length - EndBytes);
                file.Position = from;
                var back = buffer.AsSpan(0, file.ReadAtLeast(buffer, (int)Math.Min(EndBytes, length - from), throwOnEndOfStream: false));
                if (from > next.Offset)
                {
                    var cut = back.IndexOf(back.Contains((byte)'\n') ? (byte)'\n' : (byte)'\r');
                    back = cut < 0 ? default : back[(cut + 1)..];
                }

                ReadLines(claims, back, isWhole: true, firstLine: from > next.Offset ? 0 : next.Line);
            }

            return claims;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw InputFindings.BrokenOff(name, 1, problem);
        }
    }

    /// <summary>Reads the claims at the start of content that can only be read forward; it stays to be read.</summary>
    internal static CommentClaims ReadHead(HeadedStream content, string name)
    {
        try
        {
            content.Extend(EndBytes);
        }
        catch (Exception problem) when (problem is IOException or InvalidDataException or NotSupportedException)
        {
            throw InputFindings.BrokenOff(name, 1, problem);
        }

        var claims = new CommentClaims();
        ReadLines(claims, content.Head, isWhole: content.Head.Length < EndBytes, firstLine: 1);
        return claims;
    }

    /// <summary>Reads comment lines and progress commands.</summary>
    /// <returns>Where the last line begins if it is cut, and its number.</returns>
    private static (long Offset, long Line) ReadLines(CommentClaims claims, ReadOnlySpan<byte> text, bool isWhole, long firstLine)
    {
        var at = 0;
        var line = firstLine;
        if (text.StartsWith("\uFEFF"u8))
        {
            at = 3;
        }

        // Of CR LF and CR CR LF the line feed ends the line; in a file without any the carriage return does.
        var lineEnd = text.Contains((byte)'\n') ? (byte)'\n' : (byte)'\r';

        while (at < text.Length)
        {
            var rest = text[at..];
            var length = rest.IndexOf(lineEnd);
            if (length < 0 && !isWhole)
            {
                break;
            }

            var content = (length < 0 ? rest : rest[..length]).Trim(" \t\r"u8);
            if (content.StartsWith(";"u8))
            {
                claims.ReadComment(content[1..], line);
            }
            else if (content is [(byte)'(', .., (byte)')'])
            {
                claims.ReadBracket(content[1..^1], line);
            }

            at += length < 0 ? rest.Length : length + 1;
            line += firstLine > 0 ? 1 : 0;
        }

        return (at, line);
    }
}
