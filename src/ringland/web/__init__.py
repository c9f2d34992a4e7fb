"""The bench page: the whole job in a browser, with the same functions and the same view as the command line.

Here: routes, forms to lines of the bench, templates, scripts, and the safety of the server.
Not here: any rule of the trade and any rounding: what a page shows comes from `ringland.report`,
what a form does goes through `ringland.bench`.
Start with `app.create_app`; a form's way is `acts.do`, a page's way is a function in `pages`.
"""
