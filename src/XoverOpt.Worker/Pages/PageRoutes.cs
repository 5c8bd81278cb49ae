using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Access;

namespace XoverOpt.Worker.Pages;

/// <summary>The pages for a browser: what they ask of whoever opens them, and the files they are made of.</summary>
internal static class PageRoutes
{
    /// <summary>Where keys are handed in.</summary>
    public const string SignIn = "/sign-in";

    private static readonly Dictionary<string, Scope?> Scopes = new(StringComparer.Ordinal)
    {
        ["/Queue"] = Scope.Read,
        ["/Run"] = Scope.Read,
        ["/Build"] = Scope.Read,
        ["/Compare"] = Scope.Read,
        ["/Inspect"] = Scope.Read,
        ["/Pairs"] = Scope.Read,
        ["/Drawer"] = Scope.Read,
        ["/Part"] = Scope.Read,
        ["/Parts"] = Scope.Read,
        ["/Changes"] = Scope.Read,
        ["/Rerun"] = Scope.Submit,
        ["/NewJob"] = Scope.Submit,
        ["/Stop"] = Scope.Submit,
        ["/SignIn"] = null,
    };

    /// <summary>Adds what pages need.</summary>
    public static void AddPages(this IServiceCollection services)
    {
        services.AddRazorPages();
        services.AddAntiforgery(forms =>
        {
            forms.Cookie.Name = "xoveropt-form";
            forms.Cookie.SameSite = SameSiteMode.Strict;
            forms.SuppressXFrameOptionsHeader = true;
        });

        // Asked before the usual writer, which answers in JSON.
        services.AddSingleton<IProblemDetailsWriter, ProblemPage>();

        // Only marks in forms are sealed with these keys; a form that was opened before a restart is opened again.
        services.AddDataProtection().UseEphemeralDataProtectionProvider();
    }

    /// <summary>Serves styles, scripts and the charting library, which hold no secrets; browsers ask each time whether they changed.</summary>
    public static void UsePageFiles(this WebApplication app) => app.UseStaticFiles(new StaticFileOptions
    {
        OnPrepareResponse = answer => answer.Context.Response.Headers.CacheControl = "no-cache",
    });

    /// <summary>Adds the routes.</summary>
    public static void MapPages(this WebApplication app) => app.MapRazorPages().Add(route =>
    {
        PageActionDescriptor page = route.Metadata.OfType<PageActionDescriptor>().Single();
        route.Metadata.Add(new ScopeRule(Scopes[page.ViewEnginePath]));
    });

    /// <summary>Whether an endpoint is a page that a person looks at.</summary>
    public static bool IsPage(Endpoint endpoint) => endpoint.Metadata.GetMetadata<PageActionDescriptor>() is not null;
}
