using System.Net;
using System.Net.Sockets;
using System.Text;
using Microsoft.AspNetCore.WebUtilities;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Pages;

namespace XoverOpt.Worker.Access;

/// <summary>
/// Recognises who asks by the key in <c>Authorization: Bearer …</c>, as the password of <c>Basic</c>, or in the cookie of a browser that
/// signed in, and admits them by the rule of the route. Where no key was ever made, everybody on this machine may do everything, and nobody else anything.
/// </summary>
internal static class KeyCheck
{
    // What proxies add to say whom they speak for (RFC 7239 section 4, and the usual names before it). "Common practice" for the latter.
    private static readonly string[] Forwarding = ["Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-IP", "Via"];

    /// <summary>The cookie a browser keeps a key in; only this site gets it, and no script.</summary>
    public const string Cookie = "xoveropt-key";

    /// <summary>Finds out who asks, so that limits can go by it.</summary>
    public static Task Recognise(HttpContext context, RequestDelegate next)
    {
        context.Features.Set(Who(context));
        return next(context);
    }

    /// <summary>Whether who asked may still have what this route gives: a key may have been revoked since.</summary>
    public static bool StillAdmits(HttpContext context) => context.GetEndpoint()?.Metadata.GetMetadata<ScopeRule>() is { Scope: var needed }
        && (needed is null || Who(context).Granted >= needed);

    private static Asker Who(HttpContext context)
    {
        KeyRing ring = context.RequestServices.GetRequiredService<KeyRing>();
        IPAddress? from = context.Connection.RemoteIpAddress;
        string address = Client(from);
        if (!ring.KeysNeeded)
        {
            // What a proxy on this machine passes on comes from who knows where.
            bool here = (from is null || IPAddress.IsLoopback(from)) && !Forwarding.Any(context.Request.Headers.ContainsKey);
            return new Asker(address, here ? Scope.Admin : null, Presented: false);
        }

        string? secret = Secret(context.Request.Headers.Authorization) ?? context.Request.Cookies[Cookie];
        return secret is not null && ring.Find(secret) is { } key
            ? new Asker("key " + key.Name, ScopeRules.Parse(key.Scope), Presented: true)
            : new Asker(address, null, secret is not null);
    }

    /// <summary>One client by address. Of IPv6 the network of 64 bits, which is what one subscriber or host is given (RFC 6177, RFC 4291 section 2.5.4).</summary>
    internal static string Client(IPAddress? from)
    {
        if (from is null)
        {
            return "this machine";
        }

        if (from.IsIPv4MappedToIPv6)
        {
            return from.MapToIPv4().ToString();
        }

        if (from.AddressFamily != AddressFamily.InterNetworkV6 || IPAddress.IsLoopback(from))
        {
            return from.ToString();
        }

        byte[] network = from.GetAddressBytes();
        network.AsSpan(8).Clear();
        return $"{new IPAddress(network)}/64";
    }

    /// <summary>Lets through whoever the route's rule allows.</summary>
    public static Task Admit(HttpContext context, RequestDelegate next)
    {
        if (context.GetEndpoint() is not { } endpoint)
        {
            return next(context);
        }

        ScopeRule rule = endpoint.Metadata.GetMetadata<ScopeRule>() ?? new ScopeRule(Scope.Admin);
        Asker asker = Asker.Of(context);
        if (rule.Scope is not { } needed || asker.Granted >= needed)
        {
            return next(context);
        }

        if (PageRoutes.IsPage(endpoint) && IsPerson(context))
        {
            // A person is shown the way in; what a form sent is not repeated there.
            string to = HttpMethods.IsGet(context.Request.Method) ? context.Request.Path + context.Request.QueryString : "/";
            context.Response.Redirect(QueryHelpers.AddQueryString(PageRoutes.SignIn, "to", to));
            return Task.CompletedTask;
        }

        string allowed = $"a key of scope {string.Join(" or ", ScopeRules.Names.Skip((int)needed))}";
        if (asker.Granted is { } granted)
        {
            return ApiProblems.Refuse(
                "This key may not do that.", [new FaultView("Authorization", $"a key of scope {ScopeRules.Name(granted)}", allowed)], StatusCodes.Status403Forbidden)
                .ExecuteAsync(context);
        }

        if (asker.Presented)
        {
            context.RequestServices.GetRequiredService<ILogger<KeyRing>>().LogWarning("A key that does not hold came from {Address}", asker.Client);
        }

        // A browser asks its user for a password; another program is told the way it should take.
        bool person = IsPerson(context);
        context.Response.Headers.WWWAuthenticate = person ? "Basic realm=\"XoverOpt: any name, and a key as the password\", charset=\"UTF-8\"" : "Bearer realm=\"XoverOpt\"";
        return ApiProblems.Refuse(
            asker.Presented ? "The key is not known here, or was revoked." : "This worker asks for a key.",
            [new FaultView("Authorization", asker.Presented ? "a key that does not hold" : "no key", allowed, "Send it as Authorization: Bearer KEY; keys are made with keys add.")],
            StatusCodes.Status401Unauthorized)
            .ExecuteAsync(context);
    }

    private static bool IsPerson(HttpContext context) => context.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.Ordinal);

    private static string? Secret(string? header)
    {
        if (header?.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase) == true)
        {
            return header["Bearer ".Length..].Trim();
        }

        if (header?.StartsWith("Basic ", StringComparison.OrdinalIgnoreCase) == true)
        {
            Span<byte> bytes = new byte[header.Length];
            if (Convert.TryFromBase64String(header["Basic ".Length..].Trim(), bytes, out int count)
                && Encoding.UTF8.GetString(bytes[..count]) is var pair && pair.IndexOf(':', StringComparison.Ordinal) is >= 0 and var colon)
            {
                return pair[(colon + 1)..];
            }
        }

        return string.IsNullOrWhiteSpace(header) ? null : "";
    }
}
